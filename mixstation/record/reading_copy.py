"""A copy of the journal to read where the original cannot be opened without writing to it.

A crashed writer leaves work to undo beside the file. Undoing it needs writing; reading past it would show events
that were never acknowledged, or half of one.
"""

import contextlib
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

from mixstation.record.errors import JournalError

_COMPANIONS = ("", "-journal", "-wal")
_ATTEMPT_COUNT = 3


@contextlib.contextmanager
def reading_copy(path: Path) -> Iterator[Path]:
    """Copy a journal file and its companions to a private temporary folder, removed on leaving.

    Must not be used in a process that has the original open for writing: it would drop SQLite's locks.

    Args:
        path: The journal file.

    Yields:
        The copy.

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
            raise JournalError("busy", path=str(path))
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
