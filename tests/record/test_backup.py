"""A backup holds one moment: what is stored while it is made is in all of it or in none."""

import json
import sqlite3
from contextlib import closing
from hashlib import sha256
from pathlib import Path

import pytest

from mixstation.record import backup, exchange, proof
from mixstation.record.backup import LIST_NAME, back_up, prove, restore
from mixstation.record.errors import StorageError
from mixstation.record.journal import FILE_NAME, Journal
from mixstation.record.witness import Claim, add_claim, read_witness
from tests.record.events import several


@pytest.fixture
def home(tmp_path: Path) -> Path:
    with closing(Journal.open(tmp_path / "home" / "data")) as journal:
        journal.append("wall-1", several(1, "{}", "{}"))
    return tmp_path / "home"


def relist(copy: Path) -> None:
    """As if the files had been listed as they are now."""
    listed = json.loads((copy / LIST_NAME).read_text())
    listed["files"] = {name: sha256((copy / name).read_bytes()).hexdigest() for name in listed["files"]}
    (copy / LIST_NAME).write_text(json.dumps(listed))


def test_an_entry_stored_while_it_is_made_is_in_neither(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copied = Journal.back_up

    def and_then_an_entry(journal: Journal, to: Path) -> None:
        copied(journal, to)
        with closing(Journal.open(home / "data")) as running:
            running.append("wall-1", several(3, "{}"))

    monkeypatch.setattr(Journal, "back_up", and_then_an_entry)
    made = back_up(home / "data", home / "config", tmp_path / "copy", "1")
    assert made.state.entry_count == 2
    assert [claim.entry_count for claim in read_witness(made.folder / "data").claims] == [2]


def test_a_witness_that_knows_more_than_its_journal_proves_nothing(home: Path, tmp_path: Path) -> None:
    copy = back_up(home / "data", home / "config", tmp_path / "copy", "1").folder
    assert add_claim(copy / "data", Claim(batch_id="wall-1", entry_count=3, head="0" * 64))
    relist(copy)
    with pytest.raises(StorageError, match="backup-damaged"):
        prove(copy)


def test_a_home_with_entries_removed_can_still_be_copied(home: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(home / "data" / FILE_NAME, isolation_level=None)) as connection:
        connection.execute("DROP TRIGGER event_refuses_delete")
        connection.execute("DELETE FROM event WHERE seq = 2")
    copy = back_up(home / "data", home / "config", tmp_path / "copy", "1").folder
    claims = read_witness(copy / "data").claims
    with closing(Journal.open_reading(copy / "data")) as journal:
        (found,) = journal.ask(lambda connection: proof.all_differences(connection, claims))
    assert found.code == "entries-gone"


@pytest.mark.parametrize(("listed_count", "is_sound"), [(0, False), (1, True), (2, True)])
def test_an_older_list_may_count_what_differs_of_one_batch_twice(
    home: Path, tmp_path: Path, listed_count: int, is_sound: bool
) -> None:
    with closing(sqlite3.connect(home / "data" / FILE_NAME, isolation_level=None)) as connection:
        connection.execute("DROP TRIGGER event_refuses_delete")
        connection.execute("DELETE FROM event WHERE seq = 2")
    copy = back_up(home / "data", home / "config", tmp_path / "copy", "1").folder
    listed = json.loads((copy / LIST_NAME).read_text())
    (copy / LIST_NAME).write_text(json.dumps({**listed, "differing": listed_count}))
    if is_sound:
        assert prove(copy).folder == copy
    else:
        with pytest.raises(StorageError, match="backup-damaged"):
            prove(copy)


def test_what_lies_unlisted_in_a_backup_is_not_put_back(home: Path, tmp_path: Path) -> None:
    (home / "config").mkdir()
    (home / "config" / "settings.toml").write_text("a = 1")
    copy = back_up(home / "data", home / "config", tmp_path / "copy", "1").folder
    (copy / "data" / "stock.sqlite3-journal").write_bytes(b"stray")
    (copy / "config" / "stray.toml").write_text("stray")
    restore(copy, tmp_path / "new" / "data", tmp_path / "new" / "config")
    there = {path.name for path in (tmp_path / "new").rglob("*") if path.is_file()}
    assert there == {FILE_NAME, "journal.witness", "journal.lock", "settings.toml"}


@pytest.mark.parametrize("nth", range(6))
def test_a_restore_cut_off_leaves_no_old_settings_beside_the_restored_journal(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, nth: int
) -> None:
    (home / "config").mkdir()
    settings = home / "config" / "settings.toml"
    settings.write_text("backed = 1")
    copy = back_up(home / "data", home / "config", tmp_path / "copy", "1").folder
    settings.write_text("old = 1")
    with closing(Journal.open(home / "data")) as journal:
        journal.append("wall-2", several(1, "{}"))
    flushes, flush = iter(range(100)), backup._flush
    move, moves = exchange._move, iter(range(100))

    def breaking_flush(path: Path) -> None:
        if path.is_relative_to(home) and next(flushes) == nth:
            raise OSError
        flush(path)

    def breaking_move(source: Path, target: Path) -> None:
        if next(moves) == nth - 4:
            raise OSError
        move(source, target)

    with monkeypatch.context() as breaks:
        breaks.setattr(backup, "_flush", breaking_flush)
        breaks.setattr(exchange, "_move", breaking_move)
        with pytest.raises(StorageError):
            restore(copy, home / "data", home / "config")
    with closing(Journal.open(home / "data")) as journal:
        is_restored = [row.batch_id for row in journal.batches()] == ["wall-1"]
    assert not is_restored or settings.read_text() == "backed = 1"
    restore(copy, home / "data", home / "config")
    assert settings.read_text() == "backed = 1"
    assert any(path.read_text() == "old = 1" for path in (home / "data" / "set-aside").rglob("settings.toml"))
