"""The folder of a journal: one writer at a time, room kept for a full disk, and whether it lies on a network."""

import contextlib
import fcntl
import os
import re
import shutil
from pathlib import Path

from mixstation.record.errors import JournalError
from mixstation.record.paths import flush_file, flush_folder
from mixstation.record.trouble import InUse

LOCK_NAME = "journal.lock"
_LONGEST_PID_COUNT = 20


class FolderLock:
    """A lock file held until released or until this process ends; the file stays and says who held it."""

    def __init__(self, path: Path) -> None:
        """Take the lock at once.

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
                raise JournalError(InUse(pid=self._written_pid())) from error
            if not self.in_place():  # removed between opening and locking: whoever removed it is at work here
                raise JournalError(InUse(pid=None))
        except BaseException:
            os.close(self._descriptor)
            raise
        with contextlib.suppress(OSError):  # on a full disk the lock still holds, only the name is missing
            os.ftruncate(self._descriptor, 0)
            os.pwrite(self._descriptor, b"%d\n" % os.getpid(), 0)

    def in_place(self) -> bool:
        """Whether the file that is locked is still the one others would find, neither removed nor replaced."""
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


BALLAST_BYTES = 1 << 20
"""Of a file that is only there to be deleted on a full disk: room for over 300 events."""

_LEAST_FREE_BYTES = 4 * BALLAST_BYTES


def lay_ballast(path: Path) -> bool:
    """Make sure the ballast lies there, unless the disk is too full to spare it; whether it lies there."""
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
    """Give the ballast's room back to the disk; whether there was any."""
    try:
        path.unlink()
        flush_folder(path.parent)  # some file systems free the room only then
    except OSError:
        return False
    return True


_NETWORK_TYPES = frozenset(
    {"nfs", "nfs4", "cifs", "smb3", "smbfs", "ncpfs", "afs", "coda", "ceph", "glusterfs", "lustre", "gpfs"}
    | {"beegfs", "9p", "davfs", "webdav", "sshfs", "rclone"}
)
_MOUNTS = Path("/proc/self/mountinfo")


def on_network(folder: Path) -> bool:
    """Whether a folder lies on a network file system; false also where it cannot be told, as outside Linux."""
    try:
        mounts = _MOUNTS.read_text("utf-8", "surrogateescape")
    except OSError:
        return False
    return _is_network_type(file_system_type(folder.resolve(), mounts))


def file_system_type(folder: Path, mounts: str) -> str:
    """The type of the file system a folder lies on; "" if no mount holds the folder.

    Args:
        folder: An absolute path without links.
        mounts: The text of a Linux `mountinfo` file.

    Source: proc_pid_mountinfo(5): field 5 is the mount point with octal escapes; the type follows the "-".

    Example:
        >>> file_system_type(Path("/home/mixer/yard"), "30 1 0:9 / /home/mixer rw - nfs4 shed:/home rw")
        'nfs4'
    """
    deepest, found = -1, ""
    for line in mounts.splitlines():
        before, _, after = line.partition(" - ")
        fields, types = before.split(" "), after.split(" ")
        if len(fields) < 5:
            continue
        point = Path(re.sub(r"\\([0-7]{3})", lambda octal: chr(int(octal[1], 8)), fields[4]))
        if (
            folder.is_relative_to(point) and len(point.parts) >= deepest
        ):  # a later mount covers an earlier one
            deepest, found = len(point.parts), types[0]
    return found


def _is_network_type(name: str) -> bool:
    return name in _NETWORK_TYPES or name.removeprefix("fuse.") in _NETWORK_TYPES
