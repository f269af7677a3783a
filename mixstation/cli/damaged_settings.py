"""A settings file that is damaged must not bar the way to a bucket: what can be read of it counts, the rest is said."""

from collections.abc import Callable
from typing import Final, TypeVar

from mixstation.cli.settings_file import settings_path
from mixstation.toml_lines import FileFault, FileRefused, read_text_file

_Read = TypeVar("_Read")

# Choice: each round takes a line at least; a file with more slips than this is not a settings file.
_MAX_ROUND_COUNT: Final = 40


def as_far_as_read(read: Callable[[str, str], _Read]) -> tuple[_Read, tuple[FileFault, ...]]:
    """What the settings file says where it can be read, the usual for all else.

    Args:
        read: Reads the text of a settings file, with its path to name; raises `FileRefused`, but not for "".

    Returns:
        What was read, and what is wrong with the file, in line order; nothing where it is sound or not there.
    """
    path = str(settings_path())
    try:
        lines = read_text_file(path).split("\n")
    except FileRefused as refused:
        missing = all(fault.code == "file-missing" for fault in refused.faults)
        return read("", path), () if missing else refused.faults
    faults: dict[int, FileFault] = {}
    for _ in range(_MAX_ROUND_COUNT):
        try:
            return read("\n".join(lines), path), tuple(faults[line] for line in sorted(faults))
        except FileRefused as refused:
            for fault in refused.faults:
                _leave_out(lines, fault.line)
                # What lacks only since something was left out is no fault of the file's.
                if not faults or fault.code != "key-missing":
                    faults.setdefault(fault.line, fault)
    return read("", path), tuple(faults[line] for line in sorted(faults))


def _leave_out(lines: list[str], number: int) -> None:
    """Leave out a line, with the table that it heads; all of them where it is none."""
    at = number - 1
    if not 0 <= at < len(lines) or not lines[at].strip():
        lines[:] = [""] * len(lines)
        return
    heads = lines[at].lstrip().startswith("[")
    lines[at] = ""
    while heads and (at := at + 1) < len(lines) and not lines[at].lstrip().startswith("["):
        lines[at] = ""
