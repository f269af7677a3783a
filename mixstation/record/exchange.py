"""One set of files put in place of another: what was there is moved aside, never deleted; a break is made good.

The new files are made ready in a folder of their own. From the moment the plan beside them is on the disk, the
exchange is only names that change, and whoever opens the journal next finishes it.
"""

import contextlib
import json
import os
import shutil
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import Any

from mixstation.record.journal_folder import LOCK_NAME, FolderLock
from mixstation.record.paths import flush_folder, make_private_folder, write_file_safely
from mixstation.record.trouble import Notice

ASIDE_NAME = "set-aside"
INCOMING_NAME = ".incoming"
_PLAN_NAME = "plan.json"
_NEW_NAME = "new"
REMAINS_NAME = "remains"
"""Of a folder beside the new files, made by whoever asks for it: what is in it goes to what is set aside."""


def stamp_now() -> str:
    """The local time as a folder's name."""
    return f"{datetime.now().astimezone():%Y%m%d-%H%M%S}"


def fresh(folder: Path) -> Path:
    """A folder of a name that is not taken yet: that one, or with a number after it; not made."""
    number, found = 2, folder
    while os.path.lexists(found):
        found, number = folder.with_name(f"{folder.name}-{number}"), number + 1
    return found


def make_ready(folder: Path) -> Path:
    """An empty folder for the new files.

    Raises:
        OSError: It could not be made.
    """
    shutil.rmtree(folder / INCOMING_NAME, ignore_errors=True)
    new = folder / INCOMING_NAME / _NEW_NAME
    make_private_folder(new)
    return new


def exchange(folder: Path, displaced: Iterable[str], aside: Path | None = None) -> Path:
    """Put what was made ready in place of what is there; the folder that now holds that is returned.

    Args:
        displaced: Names in it that are moved aside; those of the new files are so in any case.
        aside: The folder in `ASIDE_NAME` to move them to; None for one named after the time.

    Raises:
        StorageError: The plan could not be written; nothing has changed.
        OSError: It broke off; the next opening of the journal finishes it.
    """
    incoming = folder / INCOMING_NAME
    names = sorted(path.name for path in (incoming / _NEW_NAME).iterdir())
    plan = {
        "aside": (aside or fresh(folder / ASIDE_NAME / stamp_now())).name,
        "displaced": sorted({*displaced, *names}),
        "new": names,
    }
    flush_folder(incoming / _NEW_NAME)
    write_file_safely(incoming / _PLAN_NAME, json.dumps(plan))
    finish_exchange(folder)
    return folder / ASIDE_NAME / str(plan["aside"])


def unfinished(folder: Path) -> bool:
    """Whether an exchange broke off half way, and its plan says how to go on."""
    return _plan(folder) is not None


def unreadable(folder: Path) -> bool:
    """Whether an exchange broke off of which nobody can say any more how it goes on."""
    return (folder / INCOMING_NAME / _PLAN_NAME).exists() and _plan(folder) is None


def finish_exchange(folder: Path) -> tuple[Notice, ...]:
    """Finish an exchange that broke off, if there is one; move one aside whose plan cannot be read.

    The journal's lock must be held.

    Returns:
        Notices: "exchange-unreadable" where one was moved aside.

    Raises:
        OSError: The system refuses; call again.
    """
    incoming = folder / INCOMING_NAME
    if unreadable(folder):
        _move(incoming, fresh(folder / ASIDE_NAME / f"{stamp_now()}-unreadable"))
        return ("exchange-unreadable",)
    plan = _plan(folder)
    if plan is None:
        return ()
    aside, new = folder / ASIDE_NAME / plan["aside"], incoming / _NEW_NAME
    make_private_folder(aside)
    for name in plan["displaced"]:
        is_in_place = name in plan["new"] and not (new / name).exists()
        if not is_in_place and os.path.lexists(folder / name):
            # Made by whoever wrote in between: it must not take the place of what was moved aside before.
            _move(folder / name, fresh(aside / name))
    for name in plan["new"]:
        if (new / name).exists():
            _move(new / name, folder / name)
    for path in sorted((incoming / REMAINS_NAME).glob("*")):
        _move(path, fresh(aside / path.name))
    (incoming / _PLAN_NAME).unlink()
    flush_folder(incoming)
    with contextlib.suppress(OSError):  # an empty folder left behind is made use of the next time
        shutil.rmtree(incoming)
    return ()


def _plan(folder: Path) -> dict[str, Any] | None:
    """What an exchange that broke off was to do; None where there is none, or no plan such as is written."""
    try:
        told = json.loads((folder / INCOMING_NAME / _PLAN_NAME).read_text("utf-8"))
    except (FileNotFoundError, NotADirectoryError, ValueError, RecursionError):
        return None
    match told:
        case {"aside": str(aside), "displaced": [*displaced], "new": [*new]}:
            # A name that leads out of the folder would move what is none of ours.
            names = (aside, *displaced, *new)
            stay_inside = all(isinstance(name, str) and _stays_inside(name) for name in names)
            return told if stay_inside else None
    return None


def _stays_inside(name: str) -> bool:
    path = Path(name)
    return bool(path.parts) and not path.is_absolute() and ".." not in path.parts and "\0" not in name


def finish_before_writing(folder: Path) -> None:
    """Finish an exchange that broke off, for whoever writes beside the journal and does not hold its lock.

    Raises:
        JournalError: "in-use": another instance is at it.
        OSError: As `finish_exchange`.
    """
    if not unfinished(folder):
        return
    lock = FolderLock(folder / LOCK_NAME)
    try:
        finish_exchange(folder)
    finally:
        lock.release()


def _move(source: Path, target: Path) -> None:
    make_private_folder(target.parent)
    source.rename(target)
    flush_folder(target.parent)
    flush_folder(source.parent)
