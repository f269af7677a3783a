"""What can go wrong with storage: a code with its values; the sentence is made elsewhere."""

import contextlib
import errno
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Literal

from mixstation.units.clean import clean

Presence = Literal["absent", "present", "unknown"]

_LONGEST_TEXT_COUNT = 1000
_SQLITE_CODES = {
    sqlite3.SQLITE_FULL: "disk-full",
    sqlite3.SQLITE_BUSY: "busy",
    sqlite3.SQLITE_LOCKED: "busy",
    sqlite3.SQLITE_READONLY: "read-only",
    sqlite3.SQLITE_PERM: "not-permitted",
    sqlite3.SQLITE_CORRUPT: "file-damaged",
    sqlite3.SQLITE_NOTADB: "not-a-journal",
}
_SYSTEM_CODES = {
    errno.ENOSPC: "disk-full",
    errno.EDQUOT: "disk-full",
    errno.EROFS: "read-only",
    errno.EACCES: "not-permitted",
    errno.EPERM: "not-permitted",
}


STORAGE_FAULTS = (sqlite3.Error, OSError, UnicodeDecodeError)
"""Python raises the last for SQLite's message about a damaged name that is no text any more."""


class StorageError(Exception):
    """Something could not be stored or read.

    Attributes:
        code: Short kebab-case name of what went wrong.
        values: What the sentence about it needs; texts are cleaned.
    """

    def __init__(self, code: str, **values: object) -> None:
        cleaned = {
            name: clean(value, _LONGEST_TEXT_COUNT) if isinstance(value, str) else value
            for name, value in values.items()
        }
        super().__init__(code, cleaned)
        self.code = code
        self.values = cleaned

    def __str__(self) -> str:
        return " ".join([self.code, *(f"{name}={value!r}" for name, value in self.values.items())])


class JournalError(StorageError):
    """The journal could not do what was asked.

    Attributes:
        outcome: For an append, whether the event is in the file after closing, reopening and re-reading it:
            "absent", "present", or "unknown" when it could not be re-read. None where nothing was to be stored.
    """

    def __init__(self, code: str, *, outcome: Presence | None = None, **values: object) -> None:
        super().__init__(code, **values)
        self.outcome = outcome


def storage_code(error: sqlite3.Error | OSError | UnicodeDecodeError) -> str:
    """Our name for a storage fault; "storage-failed" for every one without a name of its own.

    Args:
        error: One of `STORAGE_FAULTS`.

    Raises:
        sqlite3.ProgrammingError: When that is what came in: a mistake of ours, not a fault of the storage.

    Example:
        >>> storage_code(OSError(errno.ENOSPC, "No space left on device"))
        'disk-full'
    """
    if isinstance(error, sqlite3.ProgrammingError):
        raise error
    if isinstance(error, UnicodeDecodeError):
        return "file-damaged"
    if isinstance(error, OSError):
        return _SYSTEM_CODES.get(error.errno or 0, "storage-failed")
    extended = getattr(error, "sqlite_errorcode", 0)
    if extended == sqlite3.SQLITE_READONLY_DBMOVED:
        return "file-replaced"
    return _SQLITE_CODES.get(extended & 0xFF, "storage-failed")


@contextlib.contextmanager
def reported(path: Path, kind: type[StorageError] = StorageError, **values: object) -> Iterator[None]:
    """Raise a storage fault of the block as an error of ours.

    Raises:
        StorageError: Of that class, with the code of `storage_code`.
    """
    try:
        yield
    except STORAGE_FAULTS as error:
        raise kind(storage_code(error), path=str(path), detail=str(error), **values) from error
