"""Which scale an open batch is weighed on: a small file beside the journal, so that a restart finds the scale again.

It is no part of the record: what was weighed says by itself where it was read.
"""

import json
from pathlib import Path

from mixstation.frozen import Frozen
from mixstation.record.paths import file_stem_for, make_private_folder, write_file_safely

FOLDER_NAME = "links"
_MAX_BYTE_COUNT = 4096


class KeptLink(Frozen):
    """The link of a batch to its scale."""

    port: str
    profile: str


def keep_link(folder: Path, batch_id: str, link: KeptLink) -> None:
    """Keep the link of a batch, in place of one it had.

    Raises:
        StorageError: It was not written.
        OSError: The folder could not be made.
    """
    path = _path(folder, batch_id)
    make_private_folder(path.parent)
    write_file_safely(path, json.dumps({"port": link.port, "profile": link.profile}))


def kept_link(folder: Path, batch_id: str) -> KeptLink | None:
    """The link kept of a batch; None where none is, or what lies there is none of ours.

    Raises:
        OSError: It could not be read.
    """
    try:
        with _path(folder, batch_id).open("rb") as file:
            told = json.loads(file.read(_MAX_BYTE_COUNT))
    except FileNotFoundError:
        return None
    except (ValueError, RecursionError):
        # Only how to reach the scale is lost; whoever goes on names the port.
        return None
    match told:
        case {"port": str(port), "profile": str(profile)} if port and profile and "\0" not in port:
            return KeptLink(port=port, profile=profile)
    return None


def forget_link(folder: Path, batch_id: str) -> None:
    """Take the link of a batch away; nothing where none is kept.

    Raises:
        OSError: It could not be taken away.
    """
    _path(folder, batch_id).unlink(missing_ok=True)


def _path(folder: Path, batch_id: str) -> Path:
    return folder / FOLDER_NAME / f"{file_stem_for(batch_id)}.json"
