"""The tables of the journal file."""

import sqlite3
from typing import Literal

from mixstation.record.durable import transaction
from mixstation.record.errors import JournalError

APPLICATION_ID = 0x6D697873
VERSION = 1

# A batch's number gives the order of beginning and keeps keys short; ids are text of any form. There is no index
# beside the tables: a flipped bit in one would hide a batch that every check of the table finds in order.
_TABLES = (
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


def standing(connection: sqlite3.Connection) -> Literal["empty", "current", "newer"]:
    """How the tables in a file relate to those this program knows.

    Args:
        connection: An open connection.

    Returns:
        "empty" for a file without tables, "newer" for one written by a later program.

    Raises:
        JournalError: "not-a-journal" for a SQLite file that is something else.
    """
    (application_id,) = connection.execute("PRAGMA application_id").fetchone()
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    (table_count,) = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
    if (application_id, version, table_count) == (0, 0, 0):
        return "empty"
    if application_id != APPLICATION_ID or version < VERSION:
        raise JournalError("not-a-journal")
    return "current" if version == VERSION else "newer"


def create(connection: sqlite3.Connection) -> None:
    """Make the tables in an empty file.

    Args:
        connection: A connection for writing.

    Raises:
        sqlite3.Error: When storage fails; the file is then still empty.
    """
    with transaction(connection):
        for statement in _TABLES:
            connection.execute(statement)
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {VERSION}")
