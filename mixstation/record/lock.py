"""One writer to a folder: a lock the operating system drops when its holder ends, however it ends.

Linux, macOS and the BSDs only.
"""

import contextlib
import fcntl
import os
from pathlib import Path

from mixstation.record.errors import JournalError

_LONGEST_PID_COUNT = 20


class FolderLock:
    """A lock file held until released or until this process ends; the file stays and says who held it."""

    def __init__(self, path: Path) -> None:
        """Take the lock at once.

        Args:
            path: The lock file, made if it is not there.

        Raises:
            JournalError: "in-use" with `pid`, the holder's process id, or None if it cannot be told.
            OSError: When the file cannot be opened or locks do not work there.
        """
        self._path = path
        self._descriptor = os.open(path, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW | os.O_CLOEXEC, 0o600)
        try:
            try:
                fcntl.flock(self._descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError as error:
                raise JournalError("in-use", pid=self._written_pid()) from error
            if not self.in_place():  # removed between opening and locking: whoever removed it is at work here
                raise JournalError("in-use", pid=None)
        except BaseException:
            os.close(self._descriptor)
            raise
        with contextlib.suppress(OSError):  # on a full disk the lock still holds, only the name is missing
            os.ftruncate(self._descriptor, 0)
            os.pwrite(self._descriptor, b"%d\n" % os.getpid(), 0)

    def in_place(self) -> bool:
        """Whether the file that is locked is still the one others would find.

        Returns:
            False after the file or its folder was removed, replaced or went away.
        """
        try:
            return os.path.samestat(self._path.stat(), os.fstat(self._descriptor))
        except OSError:
            return False

    def release(self) -> None:
        """Let the next instance in."""
        os.close(self._descriptor)

    def _written_pid(self) -> int | None:
        text = os.pread(self._descriptor, _LONGEST_PID_COUNT, 0).strip()
        return int(text) if text.isdigit() else None
