"""The disk full, read-only, failing or gone: nothing acknowledged is lost, and what is said about the rest is true."""

import shutil
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from mixstation.record.errors import JournalError
from mixstation.record.journal import BALLAST_NAME, FILE_NAME, Journal
from mixstation.record.journal_folder import BALLAST_BYTES, LOCK_NAME
from tests.record.events import one

BODY = '{"mass_mg":4000000,"material":"white cement","source":"scale","text":"4.000 kg"}'.ljust(250)


def fill_up(folder: Path) -> Path:
    filler = folder / "filler"
    with filler.open("wb", buffering=0) as file:
        try:
            while True:
                file.write(b"\xff" * 4096)
        except OSError:
            return filler


def append_until_refused(journal: Journal, batch_id: str, count: int) -> tuple[int, JournalError | None]:
    start = len(journal.events(batch_id))
    for seq in range(start + 1, start + count + 1):
        try:
            journal.append(batch_id, one(seq, "WeightRecorded", BODY))
        except JournalError as error:
            return seq - 1 - start, error
    return count, None


def test_on_a_full_disk_the_reserve_lets_the_batch_go_on(small_disk: Path) -> None:
    folder = small_disk / "data"
    with closing(Journal.open(folder)) as journal:
        assert append_until_refused(journal, "wall-1", 5) == (5, None)
        assert (folder / BALLAST_NAME).stat().st_size == BALLAST_BYTES
        filler = fill_up(small_disk)
        stored_count, refusal = append_until_refused(journal, "wall-1", 100_000)
        assert journal.notices() == ("reserve-spent",)
        assert not (folder / BALLAST_NAME).exists()
        assert stored_count > 300
        assert refusal is not None
        assert (refusal.code, refusal.outcome) == ("disk-full", "absent")
        held = journal.events("wall-1")
        assert len(held) == 5 + stored_count
        assert journal.audit() == ()
        assert append_until_refused(journal, "wall-1", 1)[0] == 0
        with closing(Journal.open_reading(folder)) as reader:
            assert reader.events("wall-1") == held

        filler.unlink()
        assert append_until_refused(journal, "wall-1", 5) == (5, None)
    with closing(Journal.open(folder)) as journal:
        assert len(journal.events("wall-1")) == 10 + stored_count
        assert journal.notices() == ()
        assert (folder / BALLAST_NAME).stat().st_size == BALLAST_BYTES


def test_a_disk_too_full_for_the_reserve_is_reported(small_disk: Path) -> None:
    (small_disk / "filler").write_bytes(b"\xff" * (6 << 20))
    with closing(Journal.open(small_disk)) as journal:
        assert journal.notices() == ("disk-nearly-full",)
        assert not (small_disk / BALLAST_NAME).exists()
        journal.append("wall-1", one(1, "k", "{}"))


def test_no_journal_can_begin_on_a_full_disk(small_disk: Path) -> None:
    filler = fill_up(small_disk)
    with pytest.raises(JournalError) as caught:
        Journal.open(small_disk)
    assert caught.value.code == "disk-full"
    filler.unlink()
    with closing(Journal.open(small_disk)) as journal:
        journal.append("wall-1", one(1, "k", "{}"))


def test_a_copy_that_does_not_fit_leaves_the_older_copy(small_disk: Path, tmp_path: Path) -> None:
    with closing(Journal.open(tmp_path / "data")) as journal:
        append_until_refused(journal, "wall-1", 50)
        journal.back_up(small_disk / "copy")
        older = (small_disk / "copy").read_bytes()
        append_until_refused(journal, "wall-1", 100)
        filler = fill_up(small_disk)
        with pytest.raises(JournalError) as caught:
            journal.back_up(small_disk / "copy")
        assert caught.value.code == "disk-full"
        filler.unlink()
    assert [file.name for file in small_disk.iterdir()] == ["copy"]
    assert (small_disk / "copy").read_bytes() == older


LIMITED_WRITER = """
import resource, sys
from contextlib import closing
from pathlib import Path
from mixstation.record.errors import JournalError
from mixstation.record.journal import Journal
from mixstation.record.stored import NewEvent

folder, limit_bytes, body = Path(sys.argv[1]), int(sys.argv[2]), "x" * 250
with closing(Journal.open(folder)) as journal:
    _, most_bytes = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit_bytes, most_bytes))
    acknowledged_count = 0
    while True:
        try:
            journal.append("wall-1", [NewEvent(seq=acknowledged_count + 1, kind="k", body=body)])
        except JournalError as error:
            code, outcome = error.code, error.outcome
            break
        acknowledged_count += 1
    held_count = len(journal.events("wall-1"))
    print(code, outcome, acknowledged_count, held_count, len(journal.audit()))
    resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, most_bytes))
    journal.append_once("wall-1", [NewEvent(seq=held_count + 1, kind="k", body=body)])
    print(len(journal.events("wall-1")) - held_count)
"""


@pytest.mark.parametrize(
    "limit_bytes", [(1 << 16) + 4096 * step + odd for step in (0, 1) for odd in (0, 517)]
)
def test_a_write_that_fails_is_reported_and_the_journal_recovers(tmp_path: Path, limit_bytes: int) -> None:
    """The limit on a file's size makes the write call fail (EFBIG), in the middle of a page where it is odd."""
    said = subprocess.run(
        [sys.executable, "-c", LIMITED_WRITER, str(tmp_path), str(limit_bytes)],
        capture_output=True,
        text=True,
        check=True,
    ).stdout.split()
    code, outcome, acknowledged, held, fault_count, more = said
    assert (code, outcome, fault_count, more) == ("storage-failed", "absent", "0", "1")
    assert int(acknowledged) == int(held) > 100


def test_a_read_only_folder_is_still_read(tmp_path: Path, make_read_only: Callable[[Path], None]) -> None:
    with closing(Journal.open(tmp_path)) as journal:
        append_until_refused(journal, "wall-1", 3)
    make_read_only(tmp_path)
    with closing(Journal.open(tmp_path)) as journal:
        assert journal.read_only
        assert journal.notices() == ("folder-read-only",)
        assert len(journal.events("wall-1")) == 3
        with pytest.raises(JournalError) as caught:
            journal.append("wall-1", one(4, "k", "{}"))
        assert (caught.value.code, caught.value.outcome) == ("read-only", "absent")
    with closing(Journal.open_reading(tmp_path)) as journal:
        assert journal.notices() == ()
        assert len(journal.events("wall-1")) == 3


def test_no_journal_can_begin_in_a_read_only_folder(
    tmp_path: Path, make_read_only: Callable[[Path], None]
) -> None:
    make_read_only(tmp_path)
    with pytest.raises(JournalError) as caught:
        Journal.open(tmp_path)
    assert caught.value.code == "folder-unusable"


CRASH_IN_A_TRANSACTION = """
import os, signal, sys
from pathlib import Path
from mixstation.record.journal import Journal, FILE_NAME
from mixstation.record.durable import open_durable
from mixstation.record.stored import NewEvent

folder = Path(sys.argv[1])
journal = Journal.open(folder)
for seq in range(1, 51):
    journal.append("wall-1", [NewEvent(seq=seq, kind="k", body="x" * 250)])
connection = open_durable(folder / FILE_NAME)
connection.execute("PRAGMA cache_size = 1")
connection.execute("PRAGMA cache_spill = 1")
connection.execute("BEGIN IMMEDIATE")
connection.execute("DROP TRIGGER event_refuses_update")
connection.execute("UPDATE event SET body = 'half done'")
os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.fixture
def crashed(tmp_path: Path) -> Path:
    """A folder whose writer died with half a transaction in the file and its undoing beside it."""
    folder = tmp_path / "crashed"
    subprocess.run([sys.executable, "-c", CRASH_IN_A_TRANSACTION, str(folder)], check=False)
    assert (folder / f"{FILE_NAME}-journal").stat().st_size > 4096
    alone = tmp_path / "alone"
    alone.mkdir()
    shutil.copy(folder / FILE_NAME, alone)
    with closing(Journal.open_reading(alone)) as torn:
        assert torn.audit() != (), "the crash left nothing to undo"
    return folder


def test_a_crashed_writers_journal_is_read_from_a_copy(crashed: Path) -> None:
    before = {file.name: file.read_bytes() for file in crashed.iterdir()}
    with closing(Journal.open_reading(crashed)) as journal:
        assert journal.notices() == ("reading-a-copy",)
        assert len(journal.events("wall-1")) == 50
        assert journal.audit() == ()
    assert {file.name: file.read_bytes() for file in crashed.iterdir()} == before


def test_a_crashed_writers_journal_in_a_read_only_folder(
    crashed: Path, make_read_only: Callable[[Path], None]
) -> None:
    make_read_only(crashed)
    with closing(Journal.open(crashed)) as journal:
        assert journal.notices() == ("folder-read-only", "reading-a-copy")
        assert len(journal.events("wall-1")) == 50


def test_a_crashed_writers_journal_is_mended_by_the_next_writer(crashed: Path) -> None:
    with closing(Journal.open(crashed)) as journal:
        assert journal.notices() == ()
        assert len(journal.events("wall-1")) == 50
        assert journal.audit() == ()
        journal.append("wall-1", one(51, "k", "{}"))


def test_a_file_replaced_under_the_writer_acknowledges_nothing(tmp_path: Path) -> None:
    folder = tmp_path / "data"
    with closing(Journal.open(folder)) as journal:
        append_until_refused(journal, "wall-1", 3)
        journal.back_up(folder / "copy")
        append_until_refused(journal, "wall-1", 2)
        (folder / "copy").replace(folder / FILE_NAME)
        with pytest.raises(JournalError) as caught:
            journal.append("wall-1", one(6, "k", "{}"))
        assert (caught.value.code, caught.value.outcome) == ("file-replaced", "absent")
        assert len(journal.events("wall-1")) == 3
        journal.append("wall-1", one(4, "k", "{}"))


def test_a_folder_that_went_away_and_came_back(tmp_path: Path) -> None:
    folder, away = tmp_path / "data", tmp_path / "away"
    with closing(Journal.open(folder)) as journal:
        append_until_refused(journal, "wall-1", 3)
        folder.rename(away)
        for _ in range(2):
            with pytest.raises(JournalError) as caught:
                journal.append_once("wall-1", one(4, "k", "{}"))
            assert caught.value.outcome == "unknown"
            with pytest.raises(JournalError):
                journal.events("wall-1")
        folder.mkdir()
        with pytest.raises(JournalError) as caught:
            journal.append_once("wall-1", one(4, "k", "{}"))
        assert caught.value.outcome == "unknown"
        assert not (folder / FILE_NAME).exists()
        shutil.rmtree(folder)
        away.rename(folder)
        journal.append_once("wall-1", one(4, "k", "{}"))
        assert [event.seq for event in journal.events("wall-1")] == [1, 2, 3, 4]
        assert journal.audit() == ()


def test_a_folder_that_came_back_in_other_hands_is_not_written(tmp_path: Path) -> None:
    folder = tmp_path / "data"
    with closing(Journal.open(folder)) as journal:
        append_until_refused(journal, "wall-1", 3)
        journal.back_up(tmp_path / "copy")
        shutil.rmtree(folder)
        with pytest.raises(JournalError) as caught:
            journal.append("wall-1", one(4, "k", "{}"))
        assert caught.value.outcome == "unknown"
        folder.mkdir()
        (tmp_path / "copy").rename(folder / FILE_NAME)
        with closing(Journal.open(folder)) as other:
            with pytest.raises(JournalError) as caught:
                journal.append("wall-1", one(4, "k", "ours"))
            assert (caught.value.code, caught.value.outcome) == ("in-use", "unknown")
            other.append("wall-1", one(4, "k", "theirs"))
        with pytest.raises(JournalError) as caught:
            journal.append("wall-1", one(4, "k", "ours"))
        assert caught.value.code == "seq-taken"


def test_a_lock_file_removed_while_held_is_noticed_by_nobody_else_writing(tmp_path: Path) -> None:
    """Two writers are then possible, but not two events with one number."""
    with closing(Journal.open(tmp_path)) as journal:
        journal.append("wall-1", one(1, "k", "ours"))
        (tmp_path / LOCK_NAME).unlink()
        with closing(Journal.open(tmp_path)) as other:
            other.append("wall-1", one(2, "k", "theirs"))
        with pytest.raises(JournalError) as caught:
            journal.append("wall-1", one(2, "k", "ours"))
        assert (caught.value.code, caught.value.outcome) == ("seq-taken", "absent")
        assert [event.body for event in journal.events("wall-1")] == ["ours", "theirs"]
