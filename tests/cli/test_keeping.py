"""Backup, restore and salvage as they are typed: a drill from the first weight to the batch that goes on."""

import json
import shutil
import signal
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from mixstation.record.journal import FILE_NAME, Journal
from mixstation.record.witness import FILE_NAME as WITNESS_NAME
from tests.cli.conftest import Talk
from tests.cli.conversation import Conversation
from tests.cli.driven import said_by
from tests.cli.test_mix_and_resume import kinds, mix_words
from tests.station.recipes import BRISK


@pytest.fixture(scope="module")
def mixed_home(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """A home with a finished batch and one left open before the blend, mixed once; what is asked there."""
    home = tmp_path_factory.mktemp("mixed") / "home"
    home.with_name("sill_cap.toml").write_text(BRISK, encoding="utf-8")
    mixing = Conversation(home, *mix_words(home))
    mixing.mix()
    assert mixing.leave() == 0
    mixing = Conversation(home, *mix_words(home))
    mixing.until("Read this")
    mixing.say()
    mixing.until("Weigh 208 g of Water")
    mixing.say("208 g")
    asked = mixing.until("Weigh 1.000 kg of Casting blend")
    mixing.say("quit")
    assert mixing.leave() == 0
    return home, asked


@pytest.fixture
def left_open(shop: Path, mixed_home: tuple[Path, str]) -> str:
    """That home, a copy for each test; what its open batch asks."""
    home, asked = mixed_home
    shutil.copytree(home, shop, dirs_exist_ok=True)
    return asked


def tree(folder: Path) -> dict[str, bytes]:
    """What every file holds; the lock only names who held it last."""
    files = (path for path in folder.rglob("*") if path.is_file() and path.name != "journal.lock")
    return {str(path.relative_to(folder)): path.read_bytes() for path in files}


def test_the_drill(shop: Path, talk: Talk, left_open: str, tmp_path: Path) -> None:
    (shop / "config").mkdir(exist_ok=True)
    (shop / "config" / "settings.toml").write_text('who = "Ida"\n', "utf-8")
    said_by("stock", "receive", "blend", "50 kg")
    copy = tmp_path / "stick" / "march"
    assert str(copy) in said_by("records", "backup", str(copy))
    audited = said_by("records", "audit").splitlines()[0]

    shutil.rmtree(shop / "data")
    (shop / "config" / "settings.toml").write_text('who = "Eve"\n', "utf-8")
    said = said_by("records", "restore", str(copy))
    assert "2 batches" in said
    assert said_by("records", "audit").splitlines()[0] == audited
    assert "50 kg" in said_by("stock")
    assert (shop / "config" / "settings.toml").read_text("utf-8") == 'who = "Ida"\n'
    aside = next((shop / "data" / "set-aside").iterdir())
    assert (aside / "config" / "settings.toml").read_text("utf-8") == 'who = "Eve"\n'

    resumed = talk("resume", "--plain")
    assert resumed.until("Weigh") == left_open
    resumed.say("1 kg")
    resumed.mix()
    assert resumed.leave() == 0
    assert [each[-1] for each in kinds(shop)] == ["batch-finished", "batch-finished"]
    said_by("records", "audit")


def test_a_restore_moves_aside_and_deletes_nothing(shop: Path, talk: Talk, left_open: str) -> None:
    said_by("records", "backup")
    resumed = talk("resume", "--plain")
    resumed.until("Weigh")
    resumed.say("1 kg")
    resumed.mix()
    assert resumed.leave() == 0
    before = tree(shop / "data")
    copy = next((shop / "data" / "backups").iterdir())
    said_by("records", "restore", str(copy))
    aside = tree(next((shop / "data" / "set-aside").iterdir()))
    kept = {name for name in before if name.split("/")[0] not in ("backups", "links", "journal.ballast")}
    assert {name: aside[name] for name in kept} == {name: before[name] for name in kept}
    said_by("records", "audit")
    assert talk("resume", "--plain").until("Weigh") == left_open


@pytest.mark.usefixtures("left_open")
def test_a_damaged_backup_changes_nothing(shop: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    said_by("records", "backup", str(copy))
    before = tree(shop)
    for name in json.loads((copy / "list.json").read_text("utf-8"))["files"]:
        content = (copy / name).read_bytes()
        (copy / name).write_bytes(content[:-1] + bytes((content[-1] ^ 1,)))
        assert f"The backup is damaged: {copy / name}" in said_by("records", "restore", str(copy), code=1)
        (copy / name).write_bytes(content)
        if not name.startswith("data/journal"):
            break
    (copy / "data" / FILE_NAME).unlink()
    assert "The backup is damaged" in said_by("records", "restore", str(copy), code=1)
    (copy / "list.json").unlink()
    assert "no backup of ours" in said_by("records", "restore", str(copy), code=1)
    assert tree(shop) == before


@pytest.mark.usefixtures("left_open")
def test_a_backup_may_be_made_while_a_batch_runs_but_not_put_back(talk: Talk, tmp_path: Path) -> None:
    running = talk("resume", "--plain")
    running.until("Weigh")
    said_by("records", "backup", str(tmp_path / "copy"))
    assert "has that name already" in said_by("records", "backup", str(tmp_path / "copy"), code=1)
    said_by("records", "audit")
    for words in (("restore", str(tmp_path / "copy")), ("salvage",)):
        assert "is using these records" in said_by("records", *words, code=1)
    running.say("1 kg")
    running.mix()
    assert running.leave() == 0
    said_by("records", "audit")


def break_header(path: Path) -> None:
    content = bytearray(path.read_bytes())
    content[:100] = bytes(100)
    path.write_bytes(content)


def break_identity(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA application_id = 7")


def break_middle(path: Path) -> None:
    """The root of the events, through which SQLite finds all of them."""
    content = bytearray(path.read_bytes())
    with closing(sqlite3.connect(path)) as connection:
        (root,) = connection.execute("SELECT rootpage FROM sqlite_schema WHERE name = 'event'").fetchone()
    at = (root - 1) * 4096
    assert content[at] == 2, "an inner page"
    content[at : at + 100] = b"\xff" * 100
    path.write_bytes(content)


@pytest.mark.parametrize("broken", [break_header, break_identity])
def test_a_damaged_journal_names_the_way_on_and_all_goes_on(
    shop: Path, talk: Talk, left_open: str, broken: Callable[[Path], None]
) -> None:
    path = shop / "data" / FILE_NAME
    events = kinds(shop)
    broken(path)
    damaged = path.read_bytes()
    for words in (("resume", "--plain"), ("records", "audit"), mix_words(shop)):
        assert "mixstation records salvage" in said_by(*words, code=1)
    said = said_by("records", "salvage")
    assert said.count("whole. Carried over.") == 2
    aside = next((shop / "data" / "set-aside").iterdir())
    assert (aside / FILE_NAME).read_bytes() == damaged
    said_by("records", "audit")
    assert kinds(shop) == events
    resumed = talk("resume", "--plain")
    assert resumed.until("Weigh") == left_open
    resumed.say("1 kg")
    resumed.mix()
    assert resumed.leave() == 0
    said_by("records", "audit")


@pytest.mark.usefixtures("left_open")
def test_a_batch_read_in_part_is_set_aside_and_readable(shop: Path) -> None:
    path = shop / "data" / FILE_NAME
    events = kinds(shop)
    break_middle(path)
    assert "mixstation records salvage" in said_by("records", "audit", code=1)
    said = said_by("records", "salvage")
    aside = next((shop / "data" / "set-aside").iterdir())
    remains = [json.loads(line) for line in (aside / "readable.jsonl").read_text("utf-8").splitlines()]
    carried = sum(map(len, kinds(shop))) if "1 batch" in said else 0
    # What stood on the broken page itself is lost; every other entry is in one place or the other.
    lost_count = sum(map(len, events)) - carried - len(remains)
    assert 0 < lost_count < 10
    assert "not whole. Set aside." in said
    said_by("records", "audit")


@pytest.mark.usefixtures("left_open")
@pytest.mark.parametrize("act", ["deleted", "emptied"])
def test_a_lost_journal_begins_again_only_when_told_to(shop: Path, talk: Talk, act: str) -> None:
    path = shop / "data" / FILE_NAME
    path.unlink() if act == "deleted" else path.write_bytes(b"")
    said = said_by(*mix_words(shop), code=1)
    assert "The journal is gone or empty" in said
    assert "the witness knows 2 batches" in said
    said = said_by("records", "salvage")
    assert said.count("0 of ") == 2
    assert "A fresh journal has begun with 0 batches" in said
    said_by("records", "audit")
    mixing = talk(*mix_words(shop))
    mixing.mix()
    assert mixing.leave() == 0
    said_by("records", "audit")


@pytest.mark.usefixtures("left_open")
def test_salvage_leaves_what_is_whole_alone(shop: Path) -> None:
    before = tree(shop)
    assert "The journal is whole: 2 batches" in said_by("records", "salvage")
    assert tree(shop) == before


@pytest.mark.usefixtures("shop")
def test_salvage_of_an_empty_home() -> None:
    assert "No batch has been recorded yet" in said_by("records", "salvage")
    assert "No batch has been recorded yet" in said_by("records", "backup", code=1)


@pytest.mark.usefixtures("left_open")
def test_removed_entries_are_told_where_a_batch_begins(shop: Path, talk: Talk) -> None:
    with closing(sqlite3.connect(shop / "data" / FILE_NAME)) as connection:
        connection.execute("DROP TRIGGER event_refuses_delete")
        connection.execute("DELETE FROM event WHERE batch = 2 AND seq > 2")
        connection.commit()
    resumed = talk("resume", "--plain")
    resumed.until("bucket checked: carry on")
    asked = "\n".join(resumed.said)
    assert "Look into the bucket before you pour" in asked
    assert "the journal has 2 entries, the witness knows" in asked
    resumed.process.send_signal(signal.SIGKILL)
    resumed.process.wait()
    # Going on does not make it good: what the witness knew is kept until salvage or a backup.
    said = said_by("records", "audit", code=1)
    assert "The newest were removed" in said or "an entry was altered" in said
    with closing(Journal.open(shop / "data")) as journal:
        assert "entries-gone" in journal.notices()
    assert (shop / "data" / WITNESS_NAME).exists()


def test_once_the_bucket_was_looked_into_what_came_up_comes_up_again(shop: Path, talk: Talk) -> None:
    """The ways out of far too much water do not go under in the question about missing entries; both are on record."""
    mixing = talk("mix", "hearth_plate", "--powder", "8 kg", "--plain")
    for typed, answered in (("", "Weigh 832 g"), ("1400", "yes, that much went in"), ("", "Ways out")):
        mixing.say(typed)
        mixing.until(answered)
    mixing.say("quit")
    assert mixing.leave() == 0
    again = talk("resume", "--plain")
    again.until("Ways out")
    again.say("quit")
    assert again.leave() == 0
    with closing(sqlite3.connect(shop / "data" / FILE_NAME)) as connection:
        connection.execute("DROP TRIGGER event_refuses_delete")
        connection.execute("DELETE FROM event WHERE seq = (SELECT max(seq) FROM event)")
        connection.commit()
    resumed = talk("resume", "--plain")
    resumed.until("bucket checked: carry on")
    assert "mixstation records salvage" not in "\n".join(resumed.said), "one piece of advice, not two"
    resumed.say("")
    resumed.until("Ways out")
    resumed.say("quit")
    assert resumed.leave() == 0
    assert kinds(shop)[0][-1] == "note-written"


@pytest.mark.usefixtures("left_open")
def test_entries_missing_of_another_batch_are_told_beside_the_question(shop: Path, talk: Talk) -> None:
    with closing(sqlite3.connect(shop / "data" / FILE_NAME)) as connection:
        connection.execute("DROP TRIGGER event_refuses_delete")
        connection.execute("DELETE FROM event WHERE seq > 2")
        connection.commit()
    with closing(Journal.open_reading(shop / "data")) as journal:
        batch_id = journal.batches()[0].batch_id
    resumed = talk("resume", batch_id, "--plain")
    resumed.until("bucket checked: carry on")
    assert "ENTRIES ARE MISSING from the records" in "\n".join(resumed.said)


@pytest.mark.usefixtures("left_open")
def test_a_batch_that_was_written_on_after_a_cut_is_not_called_whole(shop: Path, talk: Talk) -> None:
    cut_count = len(kinds(shop)[0]) - 1
    with closing(sqlite3.connect(shop / "data" / FILE_NAME)) as connection:
        connection.execute("DROP TRIGGER event_refuses_delete")
        connection.execute("DELETE FROM event WHERE batch = 2 AND seq > ?", (cut_count,))
        connection.commit()
    resumed = talk("resume", "--plain")
    resumed.until("bucket checked: carry on")
    # A weight typed here is not booked: it may be what was poured before the cut.
    resumed.say("131")
    resumed.until("bucket checked: carry on")
    resumed.say("")
    for _ in range(3):
        resumed.say("131")
    resumed.say("quit")
    resumed.leave()
    assert len(kinds(shop)[0]) > cut_count, "it was written on"
    said_by("records", "audit", code=1)
    said = said_by("records", "salvage")
    assert "not whole. Set aside." in said
    assert len(kinds(shop)) == 1
