"""A file that is only there to be deleted: on a full disk its room lets the batch at hand be recorded to its end."""

import contextlib
import os
import shutil
from pathlib import Path

from mixstation.record.paths import flush_file, flush_folder

BALLAST_BYTES = 1 << 20
"""Room for over 300 events."""

_LEAST_FREE_BYTES = 4 * BALLAST_BYTES


def lay_ballast(path: Path) -> bool:
    """Make sure the ballast lies there, unless the disk is too full to spare it.

    Args:
        path: The ballast file.

    Returns:
        Whether it lies there.
    """
    try:
        if path.stat().st_size == BALLAST_BYTES:
            return True
    except OSError:
        pass
    try:
        if shutil.disk_usage(path.parent).free < _LEAST_FREE_BYTES:
            return False
        path.unlink(missing_ok=True)
        with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
            file.write(os.urandom(BALLAST_BYTES))  # zeros would take no room on a compressing file system
            file.flush()
            flush_file(file.fileno())
    except OSError:
        with contextlib.suppress(OSError):
            path.unlink(missing_ok=True)
        return False
    return True


def spend_ballast(path: Path) -> bool:
    """Give the ballast's room back to the disk.

    Args:
        path: The ballast file.

    Returns:
        Whether there was any.
    """
    try:
        path.unlink()
        flush_folder(path.parent)  # some file systems free the room only then
    except OSError:
        return False
    return True
