"""The tables of a SQLite file of ours: made, recognised, and brought to the form of now."""

import sqlite3
from typing import Literal

from mixstation.frozen import Frozen
from mixstation.record.durable import transaction
from mixstation.record.errors import JournalError
from mixstation.record.trouble import AtPath


class Tables(Frozen):
    """What one kind of file holds.

    Attributes:
        application_id: Tells its files from those of other programs.
        statements: That make the tables of version 1.
        upgrades: Statements that make of each version, from 1, the next: a column that came later has a default.
    """

    application_id: int
    statements: tuple[str, ...]
    upgrades: tuple[tuple[str, ...], ...] = ()

    @property
    def version(self) -> int:
        """Of the tables as they are made now."""
        return 1 + len(self.upgrades)

    def standing(self, connection: sqlite3.Connection) -> Literal["empty", "older", "current", "newer"]:
        """How the tables in a file relate to those this program knows; "empty" where it has none.

        Raises:
            JournalError: "not-a-journal" for a SQLite file that is something else.
        """
        (application_id,) = connection.execute("PRAGMA application_id").fetchone()
        (version,) = connection.execute("PRAGMA user_version").fetchone()
        (table_count,) = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        if (application_id, version, table_count) == (0, 0, 0):
            return "empty"
        if application_id != self.application_id or version < 1:
            (_, _, path) = connection.execute("PRAGMA database_list").fetchone()
            raise JournalError(AtPath(code="not-a-journal", path=path))
        if version == self.version:
            return "current"
        return "older" if version < self.version else "newer"

    def bring_up_to_date(self, connection: sqlite3.Connection) -> None:
        """Make the tables in an empty file, or those of now out of older ones; the file is open for writing.

        Raises:
            sqlite3.Error: When storage fails; the file is then as it was.
        """
        with transaction(connection):
            (version,) = connection.execute("PRAGMA user_version").fetchone()
            for statements in (self.statements, *self.upgrades)[version:]:
                for statement in statements:
                    connection.execute(statement)
            connection.execute(f"PRAGMA application_id = {self.application_id}")
            connection.execute(f"PRAGMA user_version = {self.version}")


APPLICATION_ID = 0x6D697873

# A batch's number gives the order of beginning and keeps keys short; ids are text of any form. There is no index
# beside the tables: a flipped bit in one would hide a batch that every check of the table finds in order.
_STATEMENTS = (
    """
    CREATE TABLE batch (
        number INTEGER PRIMARY KEY,
        batch_id TEXT NOT NULL
    ) STRICT
    """,
    """
    CREATE TABLE event (
        batch INTEGER NOT NULL REFERENCES batch,
        seq INTEGER NOT NULL,
        kind TEXT NOT NULL,
        body TEXT NOT NULL,
        chain BLOB NOT NULL,
        PRIMARY KEY (batch, seq)
    ) STRICT, WITHOUT ROWID
    """,
    # These also stop INSERT OR REPLACE, which removes a row without firing a DELETE trigger.
    """
    CREATE TRIGGER batch_comes_next BEFORE INSERT ON batch
    WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM batch)
        OR EXISTS (SELECT 1 FROM batch WHERE batch_id = NEW.batch_id)
    BEGIN SELECT RAISE(ABORT, 'a batch takes the next number and a new id'); END
    """,
    """
    CREATE TRIGGER event_comes_next BEFORE INSERT ON event
    WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM event WHERE batch = NEW.batch)
    BEGIN SELECT RAISE(ABORT, 'an event takes the next number of its batch'); END
    """,
    *(
        f"""
        CREATE TRIGGER {table}_refuses_{action.lower()} BEFORE {action} ON {table}
        BEGIN SELECT RAISE(ABORT, 'nothing recorded is changed or removed'); END
        """
        for table in ("batch", "event")
        for action in ("UPDATE", "DELETE")
    ),
)

JOURNAL_TABLES = Tables(application_id=APPLICATION_ID, statements=_STATEMENTS)
