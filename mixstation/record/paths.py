"""Where the program keeps its files, and how a file is written so that a power cut leaves the old or the new.

What names no error of its own raises OSError when the system refuses.
"""

import contextlib
import fcntl
import hashlib
import os
import re
import tempfile
from collections.abc import Iterator
from pathlib import Path

from mixstation.folders import home_folder
from mixstation.record.errors import StorageError, storage_code, unusable
from mixstation.record.trouble import AtPath

_HOME_VARIABLE = "MIXSTATION_HOME"
_NOT_IN_A_STEM = re.compile(r"[^a-z0-9_-]")
_LONGEST_STEM_COUNT = 64
_THROUGH_CACHE: int | None = getattr(fcntl, "F_FULLFSYNC", None)
"""macOS: fsync alone stops at the drive's cache."""


def data_folder() -> Path:
    """The folder of the journal and everything else that must not be lost, made if it is not there.

    Returns:
        `$MIXSTATION_HOME/data` when that variable is set, else the system's folder for a user's data.

    Raises:
        StorageError: When it cannot be made.
    """
    home = os.environ.get(_HOME_VARIABLE)
    if home:
        folder = home_folder(home) / "data"
    else:
        import platformdirs

        folder = platformdirs.user_data_path("mixstation", appauthor=False)
    try:
        make_private_folder(folder)
    except OSError as error:
        raise StorageError(unusable(folder, error)) from error
    return folder


def make_private_folder(folder: Path) -> None:
    """Make a folder and those above it, for this user alone; folders already there keep their permissions."""
    if folder.is_dir():
        return
    if folder.parent != folder:
        make_private_folder(folder.parent)
    folder.mkdir(mode=0o700, exist_ok=True)
    flush_folder(folder.parent)


def flush_file(descriptor: int) -> None:
    """Put what was written to an open file onto the disk itself."""
    os.fsync(descriptor)
    if _THROUGH_CACHE is not None:
        with contextlib.suppress(OSError):  # not every file system knows it
            fcntl.fcntl(descriptor, _THROUGH_CACHE)


def flush_folder(folder: Path) -> None:
    """Make names created, replaced or removed in a folder survive a power cut."""
    descriptor = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        flush_file(descriptor)
    finally:
        os.close(descriptor)


def write_file_safely(path: Path, text: str) -> None:
    """Write or replace a text file; whatever happens it afterwards holds all of the old or all of the new text.

    Args:
        path: The file; its folder must be there.
        text: Its whole content, written as UTF-8 with line ends as they are.

    Raises:
        StorageError: When it was not written; the old file is then as it was.
    """
    content = text.encode("utf-8")
    try:
        if path.exists() and not path.is_file():
            # A device or a pipe would be gone from where others look for it.
            raise StorageError(AtPath(code="not-ordinary", path=str(path)))
        with replacing(path) as (descriptor, _), os.fdopen(descriptor, "wb", closefd=False) as file:
            file.write(content)
    except ValueError as error:
        # A name that no file can have.
        raise StorageError(AtPath(code="storage-failed", path=str(path), detail=str(error))) from error
    except OSError as error:
        raise StorageError(
            AtPath(code=storage_code(error), path=str(path), detail=error.strerror or "")
        ) from error


@contextlib.contextmanager
def replacing(path: Path) -> Iterator[tuple[int, Path]]:
    """Let the block fill a new file, then put it in place of `path`, all durable once the `with` has been left.

    Args:
        path: The file to make or replace; its folder must be there.

    Yields:
        The new file, still empty and readable by this user alone: its descriptor and its path. If the block fails
        it is removed and `path` is left as it was.
    """
    descriptor, name = tempfile.mkstemp(dir=path.parent, prefix=".unfinished-")
    try:
        try:
            yield descriptor, Path(name)
            flush_file(descriptor)
        finally:
            os.close(descriptor)
        Path(name).replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink()
        raise
    flush_folder(path.parent)


def file_stem_for(batch_id: str) -> str:
    """A file name, less its ending, for what belongs to a batch.

    Args:
        batch_id: Any text; ours pass through, a foreign one is made harmless.

    Returns:
        "batch-" and lower-case letters, digits, "-" and "_"; different for different ids even where the file
        system does not tell "A" from "a".

    Example:
        >>> file_stem_for("20260314-0907-k3")
        'batch-20260314-0907-k3'
        >>> file_stem_for("../Wall")
        'batch----wall-5738fee0100b'
    """
    stem = _NOT_IN_A_STEM.sub("-", batch_id.lower())[:_LONGEST_STEM_COUNT]
    if stem != batch_id:
        stem += "-" + hashlib.sha256(batch_id.encode("utf-8", "surrogatepass")).hexdigest()[:12]
    return f"batch-{stem}"
