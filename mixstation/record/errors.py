"""Errors of the storage, and what a fault of SQLite or of the system is called here."""

import contextlib
import errno
import sqlite3
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Literal

from mixstation.record.trouble import AtPath, PathCode, StorageTrouble

Presence = Literal["absent", "present", "unknown"]

_SQLITE_CODES: Mapping[int, PathCode] = {
    sqlite3.SQLITE_FULL: "disk-full",
    sqlite3.SQLITE_BUSY: "busy",
    sqlite3.SQLITE_LOCKED: "busy",
    sqlite3.SQLITE_READONLY: "read-only",
    sqlite3.SQLITE_PERM: "not-permitted",
    sqlite3.SQLITE_CORRUPT: "file-damaged",
    sqlite3.SQLITE_NOTADB: "not-a-journal",
}
_SYSTEM_CODES: Mapping[int, PathCode] = {
    errno.ENOSPC: "disk-full",
    errno.EDQUOT: "disk-full",
    errno.EROFS: "read-only",
    errno.EACCES: "not-permitted",
    errno.EPERM: "not-permitted",
}


STORAGE_FAULTS = (sqlite3.Error, OSError, UnicodeDecodeError)
"""Python raises the last for SQLite's message about a damaged name that is no text any more."""


class StorageError(Exception):
    """Something could not be stored or read; `why` says what is in the way."""

    def __init__(self, why: StorageTrouble) -> None:
        """Keep what is in the way."""
        super().__init__(why.code, why)
        self.why = why

    @property
    def code(self) -> str:
        """Its short name."""
        return self.why.code


class JournalError(StorageError):
    """The journal could not do what was asked.

    Attributes:
        outcome: For an append, whether the event is in the file after closing, reopening and re-reading it:
            "absent", "present", or "unknown" when it could not be re-read. None where nothing was to be stored.
    """

    def __init__(self, why: StorageTrouble, *, outcome: Presence | None = None) -> None:
        """Keep what is in the way, and what became of the event."""
        super().__init__(why)
        self.outcome = outcome


def storage_code(error: sqlite3.Error | OSError | UnicodeDecodeError) -> PathCode:
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


def trouble_at(path: Path, error: sqlite3.Error | OSError | UnicodeDecodeError) -> AtPath:
    """A storage fault with the code of `storage_code`, and what was worked on."""
    return AtPath(code=storage_code(error), path=str(path), detail=str(error))


def unusable(folder: Path, error: OSError) -> AtPath:
    """The trouble with a folder that cannot be made or used."""
    return AtPath(code="folder-unusable", path=str(folder), detail=error.strerror or "")


@contextlib.contextmanager
def reported(path: Path, make: Callable[[StorageTrouble], StorageError] = StorageError) -> Iterator[None]:
    """Raise a storage fault of the block as an error of ours.

    Raises:
        StorageError: As made, with the code of `storage_code`.
    """
    try:
        yield
    except STORAGE_FAULTS as error:
        raise make(trouble_at(path, error)) from error
