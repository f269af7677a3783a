"""Folders with a fault, for the tests of storage."""

import os
import subprocess
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest


def _mount(*arguments: str) -> bool:
    if os.geteuid() != 0:
        return False
    try:
        return subprocess.run(["mount", *arguments], capture_output=True, check=False).returncode == 0
    except FileNotFoundError:
        return False


def _unmount(folder: Path) -> None:
    subprocess.run(["umount", str(folder)], check=True)


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of its own of 8 MiB; skips where one may not be mounted."""
    folder = tmp_path / "small disk"
    folder.mkdir()
    if not _mount("-t", "tmpfs", "-o", "size=8m", "tmpfs", str(folder)):
        pytest.skip("needs the right to mount a small disk")
    yield folder
    _unmount(folder)


@pytest.fixture
def make_read_only() -> Iterator[Callable[[Path], None]]:
    """Make a folder read-only until the test ends: by permissions, or for root by a read-only mount."""
    with ExitStack() as undo:

        def make(folder: Path) -> None:
            if os.geteuid() != 0:
                folder.chmod(0o500)
                undo.callback(folder.chmod, 0o700)
                for file in folder.iterdir():
                    file.chmod(0o400)
                return
            if not _mount("--bind", str(folder), str(folder)):
                pytest.skip("root, and may not mount")
            undo.callback(_unmount, folder)
            if not _mount("-o", "remount,ro,bind", str(folder)):
                pytest.skip("root, and may not mount read-only")

        yield make
