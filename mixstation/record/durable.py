"""SQLite connections whose commits survive a power cut.

TRUNCATE with EXTRA flushes the rollback journal, its folder, the file and the journal's emptying before a commit
returns. Python's default (DELETE with FULL) leaves the journal's removal unflushed: after a power cut it comes back and
undoes the newest commit. A write-ahead log can end the process on a full disk and splits the data over two files.
"""

import contextlib
import os
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from pathlib import Path

from mixstation.record.errors import JournalError
from mixstation.record.trouble import AtPath, SqliteTooOld

JOURNAL_MODE = "TRUNCATE"
SYNCHRONOUS = "EXTRA"
BUSY_LIMIT_S = 5.0
OLDEST_SQLITE = (3, 37, 0)
"""STRICT tables need it."""

_SETTINGS = (
    "PRAGMA fullfsync = ON",  # macOS only: flush through the drive's cache
    "PRAGMA mmap_size = 0",  # a mapped file turns a disk fault into SIGBUS
    "PRAGMA temp_store = MEMORY",
    "PRAGMA foreign_keys = ON",
    "PRAGMA trusted_schema = OFF",
    "PRAGMA cell_size_check = ON",
)


def open_durable(path: Path, *, create: bool = True) -> sqlite3.Connection:
    """Open a SQLite file for writing, in autocommit: begin with `transaction`.

    While it is open nothing else in this process may open the same file: closing any other descriptor of it drops
    SQLite's locks.

    Args:
        create: Make it, readable by this user alone, if it is not there; else its absence is an error.

    Returns:
        A connection for use in this thread; text that is not UTF-8 reads with U+FFFD in its place.

    Raises:
        JournalError: "sqlite-too-old", "not-a-journal" (no ordinary file, or no SQLite file), "durability-refused".
        sqlite3.Error: When SQLite cannot open it.
        OSError: When the system cannot make it.
    """
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        oldest = ".".join(map(str, OLDEST_SQLITE))
        raise JournalError(SqliteTooOld(found=sqlite3.sqlite_version, expected=oldest))
    if create:
        with contextlib.suppress(FileExistsError):  # its name becomes durable with the first commit's journal
            os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
    connection = _connect(path, "rw")
    try:
        mode = connection.execute(f"PRAGMA journal_mode = {JOURNAL_MODE}").fetchone()[0]
        connection.execute(f"PRAGMA synchronous = {SYNCHRONOUS}")
        if mode.upper() != JOURNAL_MODE:
            raise JournalError(AtPath(code="durability-refused", path=str(path), detail=mode))
    except BaseException:
        connection.close()
        raise
    return connection


def open_for_reading(path: Path) -> sqlite3.Connection:
    """Open a SQLite file, for use in this thread, without ever writing to it or its folder.

    Raises:
        JournalError: "not-a-journal".
        sqlite3.Error: When SQLite cannot open it, as when a crashed writer left work to undo.
    """
    return _connect(path, "ro")


def _connect(path: Path, mode: str) -> sqlite3.Connection:
    if os.path.lexists(path) and (path.is_symlink() or not path.is_file()):
        raise JournalError(AtPath(code="not-a-journal", path=str(path)))
    uri = f"{path.absolute().as_uri()}?mode={mode}"
    connection = sqlite3.connect(uri, uri=True, isolation_level=None, timeout=BUSY_LIMIT_S)
    try:
        connection.text_factory = lambda raw: raw.decode("utf-8", "replace")
        for setting in _SETTINGS:
            connection.execute(setting)
        connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
    except BaseException as error:
        connection.close()
        if getattr(error, "sqlite_errorcode", None) == sqlite3.SQLITE_NOTADB:
            raise JournalError(AtPath(code="not-a-journal", path=str(path))) from error
        raise
    return connection


@contextlib.contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """Do all of the block or nothing; the block is durable once the `with` has been left.

    Raises:
        sqlite3.Error: When storage fails; whether the block was stored then shows only on re-reading.
    """
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        with contextlib.suppress(sqlite3.Error):
            if connection.in_transaction:
                connection.execute("ROLLBACK")
        raise


_COMPANIONS = ("", "-journal", "-wal")
_ATTEMPT_COUNT = 3


@contextlib.contextmanager
def reading_copy(path: Path) -> Iterator[Path]:
    """Copy a journal file and its companions to a private temporary folder, removed on leaving.

    Must not be used in a process that has the original open for writing: it would drop SQLite's locks.

    Raises:
        JournalError: "busy" when the file keeps changing while it is copied.
        OSError: When it cannot be read or there is no room.
    """
    with tempfile.TemporaryDirectory(prefix="mixstation-") as folder:
        for _ in range(_ATTEMPT_COUNT):
            before = _marks(path)
            for end in _COMPANIONS:
                original, copy = Path(f"{path}{end}"), Path(folder, path.name + end)
                copy.unlink(missing_ok=True)
                if end == "" or original.exists():
                    shutil.copyfile(original, copy)
            if before == _marks(path):
                break
        else:
            raise JournalError(AtPath(code="busy", path=str(path)))
        yield Path(folder, path.name)


def _marks(path: Path) -> list[tuple[int, int, int] | None]:
    marks: list[tuple[int, int, int] | None] = []
    for end in _COMPANIONS:
        try:
            state = Path(f"{path}{end}").stat()
            marks.append((state.st_ino, state.st_size, state.st_mtime_ns))
        except FileNotFoundError:
            marks.append(None)
    return marks
