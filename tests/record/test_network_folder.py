"""Which file system a folder lies on, from mount tables written for the purpose."""

from pathlib import Path

import pytest

from mixstation.record import journal_folder
from mixstation.record.journal import Journal
from mixstation.record.journal_folder import file_system_type, on_network

MOUNTS = r"""
21 1 8:1 / / rw,relatime shared:1 - ext4 /dev/disk rw
30 21 0:9 / /home rw shared:2 - nfs4 shed:/export rw
31 30 8:2 / /home/mixer/local\040disk rw - ext4 /dev/other rw
32 21 0:40 / /mnt/yard rw master:3 - fuse.sshfs mixer@shed:/ rw
33 21 0:41 / /mnt/covered rw - cifs //shed/share rw
34 33 8:3 / /mnt/covered rw - xfs /dev/third rw
not a mount
"""


@pytest.mark.parametrize(
    ("folder", "name"),
    [
        ("/", "ext4"),
        ("/homestead", "ext4"),
        ("/home", "nfs4"),
        ("/home/mixer/local", "nfs4"),
        ("/home/mixer/local disk/data", "ext4"),
        ("/mnt/yard/data", "fuse.sshfs"),
        ("/mnt/covered", "xfs"),
    ],
)
def test_the_deepest_and_latest_mount_counts(folder: str, name: str) -> None:
    assert file_system_type(Path(folder), MOUNTS) == name


def test_without_mounts_nothing_is_claimed() -> None:
    assert file_system_type(Path("/home"), "") == ""


@pytest.mark.parametrize(
    ("name", "warned"),
    [
        ("nfs4", True),
        ("cifs", True),
        ("fuse.sshfs", True),
        ("9p", True),
        ("ext4", False),
        ("fuse.ntfs-3g", False),
    ],
)
def test_the_journal_warns_of_a_network_share(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, warned: bool
) -> None:
    mounts = tmp_path / "mounts"
    mounts.write_text(f"21 1 8:1 / / rw - {name} source rw\n")
    monkeypatch.setattr(journal_folder, "_MOUNTS", mounts)
    journal = Journal.open(tmp_path / "data")
    assert journal.notices() == (("network-folder",) if warned else ())
    journal.close()


def test_a_system_without_the_list_is_not_warned(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(journal_folder, "_MOUNTS", tmp_path / "none")
    assert not on_network(tmp_path)
