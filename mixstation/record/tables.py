"""The tables of a SQLite file of ours: made, recognised, and brought to the form of now."""

import sqlite3
from typing import Literal

from mixstation.frozen import dataclass
from mixstation.record.durable import transaction
from mixstation.record.errors import JournalError


@dataclass(frozen=True, slots=True, kw_only=True)
class Tables:
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
        if application_id != self.application_id or version < 1:
            (_, _, path) = connection.execute("PRAGMA database_list").fetchone()
            raise JournalError("not-a-journal", path=path)
        if version == self.version:
            return "current"
        return "older" if version < self.version else "newer"

    def bring_up_to_date(self, connection: sqlite3.Connection) -> None:
        """Make the tables in an empty file, or those of now out of older ones.

        Args:
            connection: A connection for writing, to a file that is "empty" or "older".

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
