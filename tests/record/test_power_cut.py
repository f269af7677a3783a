"""Nothing acknowledged is lost in a power cut; and stores known to lose it are caught losing it."""

import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from random import Random

import pytest

from mixstation.record import journal_folder
from mixstation.record.errors import JournalError
from mixstation.record.journal import FILE_NAME, Journal
from tests.record.events import one
from tests.record.power_cut import Kept, Step, disk_after_cut, lay_out, recorded, strace_works

pytestmark = pytest.mark.skipif(not strace_works(), reason="needs strace, and the right to use it")

# How many events each decision stores.
DECISIONS = (1, 3, 1, 2, 6, 1, 2, 4)
TEXTS = [letter * 3000 for letter in "abcdef"]

JOURNAL_WRITER = f"""
import os, sys
from pathlib import Path
from mixstation.record import journal_folder, durable, journal, paths
from mixstation.record.stored import NewEvent
journal_folder.BALLAST_BYTES = 512
{{planted}}
journal = journal.Journal.open(Path(sys.argv[1]) / "made" / "data")
seq = 0
for count in {DECISIONS}:
    journal.append("wall-1", [
        NewEvent(seq=each, kind="WeightRecorded", body="x" * 700) for each in range(seq + 1, seq + count + 1)
    ])
    seq += count
    os.write(1, b"saved")
"""
COPY_WRITER = """
import os, sys
from pathlib import Path
from mixstation.record import journal_folder, journal, paths
from mixstation.record.stored import NewEvent
journal_folder.BALLAST_BYTES = 512
root = Path(sys.argv[1])
journal = journal.Journal.open(root / "data")
events = [NewEvent(seq=seq, kind="WeightRecorded", body="x" * 700) for seq in range(1, 5)]
for event in events[:3]:
    journal.append("wall-1", [event])
journal.back_up(root / "copy")
os.write(1, b"saved")
journal.append("wall-1", events[3:])
journal.back_up(root / "copy")
os.write(1, b"saved")
"""
TEXT_WRITER = """
import os, sys
from pathlib import Path
from mixstation.record import paths
path = Path(sys.argv[1]) / "record.md"
{planted}
for number, letter in enumerate("abcdef", 1):
    {write}
    os.write(1, b"saved")
"""
WITNESS_FIRST = """
from mixstation.record import chain, witness
def told_first(self, batch_id, events, store=journal.Journal._store):
    link = bytes.fromhex(held[-1].chain) if (held := self.events(batch_id)) else chain.first_link(batch_id.encode())
    for event in events:
        link = chain.next_link(link, event.seq, event.kind.encode(), event.body.encode())
    told = witness.Claim(batch_id=batch_id, entry_count=events[-1].seq, head=link.hex())
    witness.add_claim(self._path.parent, told)
    witness.flush_witness(self._path.parent)
    return store(self, batch_id, events)
journal.Journal._store = told_first
"""
WRITE_SAFELY = "paths.write_file_safely(path, letter * 3000)"


@pytest.fixture
def images(monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder for disks after a cut, in memory where there is such a place."""
    monkeypatch.setattr(journal_folder, "BALLAST_BYTES", 512)
    in_memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=in_memory if in_memory.is_dir() else None) as folder:
        yield Path(folder)


def cuts(steps: tuple[Step, ...]) -> Iterator[tuple[int, Kept, int]]:
    """Every place between two steps, with what is left of the loose ends and how much was acknowledged."""
    for cut in range(len(steps) + 1):
        said_count = sum(step.act == "say" for step in steps[:cut])
        kinds: tuple[Kept, ...] = ("nothing", "everything", "some", "some")
        for kept in kinds:
            yield cut, kept, said_count


def losses(
    steps: tuple[Step, ...], root: Path, images: Path, survives: Callable[[Path, int], bool]
) -> tuple[int, int]:
    """How many power cuts lost something, of how many."""
    random = Random(20)
    lost_count = cut_count = 0
    for cut, kept, said_count in cuts(steps):
        image = images / str(cut_count)
        image.mkdir()
        lay_out(disk_after_cut(steps[:cut], kept, random), root, image)
        cut_count += 1
        lost_count += not survives(image, said_count)
        shutil.rmtree(image)
    return lost_count, cut_count


ALARMS = {"entries-gone", "witness-gone", "witness-altered"}


def journal_survives(image: Path, said_count: int) -> bool:
    try:
        with closing(Journal.open(image / "made" / "data")) as journal:
            if ALARMS & set(journal.notices()):
                return False
            held_count = len(journal.events("wall-1"))
            journal.append("wall-1", one(held_count + 1, "NoteMade", "after the cut"))
            # Whole decisions: all that were acknowledged, and at most the one under way.
            whole = held_count in (sum(DECISIONS[:said_count]), sum(DECISIONS[: said_count + 1]))
            return whole and journal.audit() == ()
    except JournalError:
        return False


def copy_survives(image: Path, said_count: int) -> bool:
    copy = image / "copy"
    if not copy.exists():
        return said_count == 0
    (image / "restored").mkdir()
    copy.rename(image / "restored" / FILE_NAME)
    try:
        with closing(Journal.open(image / "restored")) as journal:
            whole = journal.audit() == ()
            return whole and len(journal.events("wall-1")) - 2 - max(said_count, 1) in (0, 1)
    except JournalError:
        return False


def text_survives(image: Path, said_count: int) -> bool:
    path = image / "record.md"
    allowed: list[str | None] = list(TEXTS[max(said_count - 1, 0) : said_count + 1])
    if said_count == 0:
        allowed.append(None)
    return (path.read_text("utf-8", "replace") if path.exists() else None) in allowed


def record(program: str, tmp_path: Path) -> tuple[tuple[Step, ...], Path]:
    root = tmp_path / "root"
    root.mkdir()
    return recorded(program, root, trace=tmp_path / "trace"), root


def test_the_journal_loses_nothing_acknowledged_and_halves_no_decision(tmp_path: Path, images: Path) -> None:
    steps, root = record(JOURNAL_WRITER.format(planted=""), tmp_path)
    assert sum(step.act == "say" for step in steps) == len(DECISIONS)
    lost_count, cut_count = losses(steps, root, images, journal_survives)
    assert cut_count > 500
    assert lost_count == 0


@pytest.mark.parametrize(
    "planted",
    [
        pytest.param("durable.JOURNAL_MODE, durable.SYNCHRONOUS = 'DELETE', 'FULL'", id="delete and full"),
        pytest.param("durable.SYNCHRONOUS = 'OFF'", id="no flush"),
        pytest.param(
            "durable.SYNCHRONOUS = 'NORMAL'; durable.JOURNAL_MODE = 'DELETE'", id="delete and normal"
        ),
        pytest.param("durable.JOURNAL_MODE, durable.SYNCHRONOUS = 'MEMORY', 'EXTRA'", id="journal in memory"),
        pytest.param("paths.flush_folder = lambda folder: None", id="new folder not flushed"),
        pytest.param(WITNESS_FIRST, id="witness told before the journal"),
        pytest.param(
            "store = journal.Journal._store\n"
            "journal.Journal._store = lambda self, batch, events: sum((store(self, batch, [e]) for e in events), ())",
            id="a decision stored event by event",
        ),
    ],
)
@pytest.mark.deep
def test_a_journal_that_flushes_too_little_is_caught(tmp_path: Path, images: Path, planted: str) -> None:
    steps, root = record(JOURNAL_WRITER.format(planted=planted), tmp_path)
    assert sum(step.act == "say" for step in steps) == len(DECISIONS)
    lost_count, _ = losses(steps, root, images, journal_survives)
    assert lost_count > 0


def test_a_copy_is_whole_or_the_older_one(tmp_path: Path, images: Path) -> None:
    steps, root = record(COPY_WRITER, tmp_path)
    lost_count, cut_count = losses(steps, root, images, copy_survives)
    assert cut_count > 200
    assert lost_count == 0


def test_a_text_file_is_all_old_or_all_new(tmp_path: Path, images: Path) -> None:
    steps, root = record(TEXT_WRITER.format(planted="", write=WRITE_SAFELY), tmp_path)
    lost_count, cut_count = losses(steps, root, images, text_survives)
    assert cut_count > 100
    assert lost_count == 0


@pytest.mark.parametrize(
    ("planted", "write"),
    [
        pytest.param(
            "",
            "file = path.open('w'); file.write(letter * 3000); file.flush(); os.fsync(file.fileno()); file.close()",
            id="rewritten in place",
        ),
        pytest.param("paths.flush_folder = lambda folder: None", WRITE_SAFELY, id="folder not flushed"),
        pytest.param("paths.flush_file = lambda descriptor: None", WRITE_SAFELY, id="renamed before flushed"),
    ],
)
def test_a_text_file_written_carelessly_is_caught(
    tmp_path: Path, images: Path, planted: str, write: str
) -> None:
    steps, root = record(TEXT_WRITER.format(planted=planted, write=write), tmp_path)
    lost_count, _ = losses(steps, root, images, text_survives)
    assert lost_count > 0
