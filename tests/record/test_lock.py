"""One holder of the lock, gone with its process."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from mixstation.record.errors import JournalError
from mixstation.record.journal_folder import FolderLock
from mixstation.record.trouble import InUse

HOLDER = """
import sys
from pathlib import Path
from mixstation.record.journal_folder import FolderLock
lock = FolderLock(Path(sys.argv[1]))
print("held", flush=True)
sys.stdin.read()
"""


def test_names_its_holder_until_the_holder_is_killed(tmp_path: Path) -> None:
    path = tmp_path / "lock"
    path.write_text("99999999999999999999999999 an older, longer text")
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == b"held\n"
        with pytest.raises(JournalError) as caught:
            FolderLock(path)
        assert caught.value.why == InUse(pid=holder.pid)
        os.kill(holder.pid, signal.SIGKILL)
    lock = FolderLock(path)
    assert path.read_text() == f"{os.getpid()}\n"
    lock.release()


def test_is_free_once_released(tmp_path: Path) -> None:
    for _ in range(3):
        FolderLock(tmp_path / "lock").release()


@pytest.mark.parametrize("text", ["", "rubbish", "-5", "²"])
def test_a_holder_without_a_name(tmp_path: Path, text: str) -> None:
    path = tmp_path / "lock"
    lock = FolderLock(path)
    path.write_text(text)
    with pytest.raises(JournalError) as caught:
        FolderLock(path)
    assert caught.value.why == InUse(pid=None)
    lock.release()


def test_knows_when_its_file_is_gone_or_another(tmp_path: Path) -> None:
    path = tmp_path / "lock"
    lock = FolderLock(path)
    assert lock.in_place()
    path.unlink()
    assert not lock.in_place()
    other = FolderLock(path)
    assert not lock.in_place()
    assert other.in_place()
    lock.release()
    other.release()


def test_follows_no_link(tmp_path: Path) -> None:
    (tmp_path / "lock").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(OSError, match="symbolic"):
        FolderLock(tmp_path / "lock")
    assert not (tmp_path / "elsewhere").exists()
