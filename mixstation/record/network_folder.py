"""Tell a folder on a network share, where locks and flushes may not keep their promise."""

import re
from pathlib import Path

_NETWORK_TYPES = frozenset(
    {"nfs", "nfs4", "cifs", "smb3", "smbfs", "ncpfs", "afs", "coda", "ceph", "glusterfs", "lustre", "gpfs"}
    | {"beegfs", "9p", "davfs", "webdav", "sshfs", "rclone"}
)
_MOUNTS = Path("/proc/self/mountinfo")


def on_network(folder: Path) -> bool:
    """Whether a folder lies on a network file system.

    Args:
        folder: The folder, which must be there.

    Returns:
        False also where it cannot be told: the list of mounts is read on Linux only.
    """
    try:
        mounts = _MOUNTS.read_text("utf-8", "surrogateescape")
    except OSError:
        return False
    return _is_network_type(file_system_type(folder.resolve(), mounts))


def file_system_type(folder: Path, mounts: str) -> str:
    """The type of the file system a folder lies on.

    Args:
        folder: An absolute path without links.
        mounts: The text of a Linux `mountinfo` file.

    Returns:
        The type's name, or "" if no mount holds the folder.

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
