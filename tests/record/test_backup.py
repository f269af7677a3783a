"""A backup holds one moment: what is stored while it is made is in all of it or in none."""

import json
import sqlite3
from contextlib import closing
from hashlib import sha256
from pathlib import Path

import pytest

from mixstation.record import proof
from mixstation.record.backup import LIST_NAME, back_up, prove
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
