"""Where files live, and what is left of a file whose writing failed."""

import os
import stat
from collections.abc import Callable
from pathlib import Path

import platformdirs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.folders import home_config
from mixstation.record.errors import StorageError
from mixstation.record.paths import data_folder, file_stem_for, write_file_safely
from mixstation.record.trouble import AtPath


def mode_of(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_the_users_own_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    home = tmp_path / "chosen"
    monkeypatch.setenv("MIXSTATION_HOME", str(home))
    assert data_folder() == home / "data"
    assert home_config() == home / "config"
    assert {mode_of(folder) for folder in (home, home / "data")} == {0o700}
    assert data_folder() == home / "data"


def test_folders_already_there_keep_their_permissions(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "data").mkdir()
    (tmp_path / "data").chmod(0o750)
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path))
    assert mode_of(data_folder()) == 0o750


def test_the_systems_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for variable in ("XDG_DATA_HOME", "XDG_CONFIG_HOME"):
        monkeypatch.delenv(variable, raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))
    for empty in (True, False):
        if empty:
            monkeypatch.setenv("MIXSTATION_HOME", "")
        else:
            monkeypatch.delenv("MIXSTATION_HOME")
        assert str(data_folder()) == platformdirs.user_data_dir("mixstation", appauthor=False)
        assert str(home_config()) == platformdirs.user_config_dir("mixstation", appauthor=False)
        assert data_folder().is_relative_to(tmp_path)


def test_a_place_that_cannot_be_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").touch()
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path / "file"))
    with pytest.raises(StorageError) as caught:
        data_folder()
    assert isinstance(caught.value.why, AtPath)
    assert (caught.value.code, caught.value.why.path) == ("folder-unusable", str(tmp_path / "file" / "data"))


def test_a_file_is_written_and_replaced_as_it_stands(tmp_path: Path) -> None:
    path = tmp_path / "record.md"
    for text in ("old\r\nlines\n", "nëw 🪣", ""):
        write_file_safely(path, text)
        assert path.read_bytes() == text.encode("utf-8")
        assert mode_of(path) == 0o600
    assert list(tmp_path.iterdir()) == [path]


def test_a_link_is_replaced_not_followed(tmp_path: Path) -> None:
    (tmp_path / "precious").write_text("keep")
    (tmp_path / "record.md").symlink_to(tmp_path / "precious")
    write_file_safely(tmp_path / "record.md", "new")
    assert (tmp_path / "precious").read_text() == "keep"
    assert (tmp_path / "record.md").read_text() == "new"


def test_where_it_cannot_be_written_nothing_is_left_behind(tmp_path: Path) -> None:
    (tmp_path / "record.md").mkdir()
    refused = {tmp_path / "record.md": "not-ordinary", tmp_path / "nowhere" / "record.md": "storage-failed"}
    for path, code in refused.items():
        with pytest.raises(StorageError) as caught:
            write_file_safely(path, "text")
        assert caught.value.code == code
    assert [file.name for file in tmp_path.iterdir()] == ["record.md"]


def test_a_text_that_cannot_be_written_leaves_the_old(tmp_path: Path) -> None:
    write_file_safely(tmp_path / "record.md", "old")
    with pytest.raises(UnicodeEncodeError):
        write_file_safely(tmp_path / "record.md", "\ud800")
    assert (tmp_path / "record.md").read_text() == "old"
    assert len(list(tmp_path.iterdir())) == 1


def test_a_full_disk_leaves_the_old(small_disk: Path) -> None:
    write_file_safely(small_disk / "record.md", "old")
    with pytest.raises(StorageError) as caught:
        write_file_safely(small_disk / "record.md", "x" * (9 << 20))
    assert caught.value.code == "disk-full"
    assert (small_disk / "record.md").read_text() == "old"
    assert len(list(small_disk.iterdir())) == 1


def test_a_read_only_folder_leaves_the_old(tmp_path: Path, make_read_only: Callable[[Path], None]) -> None:
    write_file_safely(tmp_path / "record.md", "old")
    make_read_only(tmp_path)
    with pytest.raises(StorageError) as caught:
        write_file_safely(tmp_path / "record.md", "new")
    assert caught.value.code == ("read-only" if os.geteuid() == 0 else "not-permitted")
    assert (tmp_path / "record.md").read_text() == "old"


@given(batch_id=st.text())
def test_a_stem_is_harmless_anywhere(batch_id: str) -> None:
    stem = file_stem_for(batch_id)
    assert stem.startswith("batch-")
    assert set(stem) <= set("abcdefghijklmnopqrstuvwxyz0123456789-_")
    assert len(stem) <= 100
    assert file_stem_for(batch_id) == stem


@given(first=st.text(), second=st.text())
def test_different_batches_have_different_stems(first: str, second: str) -> None:
    if first != second:
        assert file_stem_for(first) != file_stem_for(second)


def test_stems_differ_where_only_case_or_the_end_does() -> None:
    names = ["wall", "Wall", "WALL", "w" * 64, "w" * 65, "w" * 66, "a/b", "a.b", "a b", "", "\ud800"]
    assert len({file_stem_for(name) for name in names}) == len(names)
    assert file_stem_for("20260314-0907-k3") == "batch-20260314-0907-k3"
