"""The chain shows every change; a flipped bit anywhere is either noticed or changes nothing."""

import hashlib
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.record.chain import ChainFault, EventRow, chain_faults, first_link, next_link
from mixstation.record.errors import JournalError
from mixstation.record.journal import FILE_NAME, Journal
from mixstation.record.stored import BatchRow, StoredEvent
from mixstation.record.trouble import Damaged
from tests.record.events import one


def test_the_links_by_hand() -> None:
    first = hashlib.sha256(b"mixstation batch\x00wall-1").digest()
    assert first_link(b"wall-1") == first
    assert next_link(first, 1, b"Ab", b"{}") == hashlib.sha256(first + b"1:2:2:Ab{}").digest()


def rows(batch_id: bytes, events: list[tuple[bytes, bytes]]) -> list[EventRow]:
    made: list[EventRow] = []
    link = first_link(batch_id)
    for seq, (kind, body) in enumerate(events, 1):
        link = next_link(link, seq, kind, body)
        made.append((seq, kind, body, link))
    return made


EVENTS = st.lists(st.tuples(st.binary(max_size=4), st.binary(max_size=4)), min_size=1, max_size=6)


@given(events=EVENTS)
def test_what_was_stored_has_no_fault(events: list[tuple[bytes, bytes]]) -> None:
    assert list(chain_faults(b"b", rows(b"b", events))) == []


@given(events=EVENTS, data=st.data())
def test_a_moved_boundary_between_kind_and_body_is_a_change(
    events: list[tuple[bytes, bytes]], data: st.DataObject
) -> None:
    stored = rows(b"b", events)
    at = data.draw(st.integers(0, len(stored) - 1))
    seq, kind, body, link = stored[at]
    whole = kind + body
    cut = data.draw(st.integers(0, len(whole)).filter(lambda cut: cut != len(kind) or not whole))
    stored[at] = (seq, whole[:cut], whole[cut:], link)
    if (whole[:cut], whole[cut:]) != (kind, body):
        assert list(chain_faults(b"b", stored)) == [ChainFault(batch_id="b", seq=seq, code="changed")]


def test_faults_name_the_event() -> None:
    stored = rows(b"b", [(b"k", b"%d" % number) for number in range(5)])

    def found(changed: list[EventRow], batch_id: bytes = b"b") -> list[tuple[int, str]]:
        return [(fault.seq, fault.code) for fault in chain_faults(batch_id, changed)]

    assert found([*stored[:2], *stored[3:]]) == [(4, "missing")]
    assert found(stored[1:]) == [(2, "missing")]
    assert found([]) == [(0, "missing")]
    assert found(stored, batch_id=b"c") == [(1, "changed")]
    assert found([*stored[:2], (3, b"k", b"9", stored[2][3]), *stored[3:]]) == [(3, "changed")]
    assert found([*stored[:2], (*stored[2][:3], bytes(32)), *stored[3:]]) == [(3, "changed"), (4, "changed")]


def tampered(folder: Path, *statements: str) -> None:
    with closing(sqlite3.connect(folder / FILE_NAME, isolation_level=None)) as connection:
        for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
            connection.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            connection.execute(statement)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    with closing(Journal.open(tmp_path)) as journal:
        for batch_id in ("wall-1", "wall-2", "hearth-1"):
            for seq in range(1, 9):
                journal.append(
                    batch_id, one(seq, "WeightRecorded", f'{{"mass_mg":{seq}000000,"of":"white cement"}}')
                )
    return tmp_path


@pytest.mark.parametrize(
    ("statement", "faults"),
    [
        (
            "UPDATE event SET body = replace(body, 'white', 'black') WHERE batch = 2 AND seq = 3",
            [("wall-2", 3, "changed")],
        ),
        ("UPDATE event SET kind = 'NoteMade' WHERE batch = 1 AND seq = 8", [("wall-1", 8, "changed")]),
        ("DELETE FROM event WHERE batch = 3 AND seq IN (4, 5)", [("hearth-1", 6, "missing")]),
        ("DELETE FROM event WHERE batch = 2", [("wall-2", 0, "missing")]),
        ("UPDATE batch SET batch_id = 'wall-9' WHERE number = 2", [("wall-9", 1, "changed")]),
        ("UPDATE event SET seq = 9 WHERE batch = 1 AND seq = 8", [("wall-1", 9, "missing")]),
    ],
)
def test_tampering_is_found(folder: Path, statement: str, faults: list[tuple[str, int, str]]) -> None:
    tampered(folder, statement)
    with closing(Journal.open(folder)) as journal:
        assert [(fault.batch_id, fault.seq, fault.code) for fault in journal.audit()] == faults
        batch_id = faults[0][0]
        assert journal.audit(batch_id) == journal.audit()
        with pytest.raises(JournalError) as caught:
            journal.events(batch_id)
        assert caught.value.why == Damaged(batch_id=batch_id, faults=journal.audit())
        shown = journal.events(batch_id, even_damaged=True)
        assert len(shown) == sum(
            row.event_count for row in journal.batches() if row.batch_id == batch_id
        ) or (faults[0][2] == "missing")
        for row in journal.batches():
            if row.batch_id != batch_id:
                assert len(journal.events(row.batch_id)) == 8


def test_text_that_is_no_text_any_more_is_found_and_can_be_shown(folder: Path) -> None:
    tampered(folder, "UPDATE event SET body = CAST(x'7bff7d' AS TEXT) WHERE batch = 1 AND seq = 2")
    with closing(Journal.open(folder)) as journal:
        assert [fault.seq for fault in journal.audit("wall-1")] == [2]
        assert journal.events("wall-1", even_damaged=True)[1].body == "{�}"


def test_a_batch_whose_name_is_no_text_any_more_is_still_listed(folder: Path) -> None:
    tampered(folder, "UPDATE batch SET batch_id = CAST(x'77ff' AS TEXT) WHERE number = 2")
    with closing(Journal.open(folder)) as journal:
        assert [row.batch_id for row in journal.batches()] == [
            "hearth-1",
            "w\N{REPLACEMENT CHARACTER}",
            "wall-1",
        ]
        assert [(fault.batch_id, fault.seq) for fault in journal.audit()] == [
            ("w\N{REPLACEMENT CHARACTER}", 1)
        ]


def test_a_damaged_batch_still_takes_events(folder: Path) -> None:
    tampered(folder, "UPDATE event SET body = '{}' WHERE batch = 1 AND seq = 2")
    with closing(Journal.open(folder)) as journal:
        journal.append("wall-1", one(9, "NoteMade", "{}"))
        assert [fault.seq for fault in journal.audit("wall-1")] == [2]


FLIP_CODES = {"not-a-journal", "no-journal", "file-damaged", "damaged", "storage-failed", "busy"}


def test_a_flipped_bit_is_noticed_or_changes_nothing(folder: Path, tmp_path: Path) -> None:
    with closing(Journal.open_reading(folder)) as journal:
        sound = {row: journal.events(row.batch_id) for row in journal.batches()}
    original = (folder / FILE_NAME).read_bytes()
    used = [at for at, byte in enumerate(original) if byte]
    random = Random(512)
    noticed_count = 0
    image = tmp_path / "flipped"
    image.mkdir()
    for _ in range(400):
        at, bit = random.choice(used), random.randrange(8)
        flipped = bytearray(original)
        flipped[at] ^= 1 << bit
        (image / FILE_NAME).write_bytes(flipped)
        noticed_count += notices_or_is_unharmed(image, sound, (at, bit))
    assert noticed_count > 200


Sound = dict[BatchRow, tuple[StoredEvent, ...]]


def notices_or_is_unharmed(folder: Path, sound: Sound, where: object) -> bool:
    """Whether the flip was noticed; if it was not, everything must read as before."""
    try:
        with closing(Journal.open_reading(folder)) as journal:
            if journal.audit() != ():
                return True
            assert {row: journal.events(row.batch_id) for row in journal.batches()} == sound, where
            return False
    except JournalError as error:
        return error.code in FLIP_CODES


def test_a_file_cut_short_is_noticed(folder: Path, tmp_path: Path) -> None:
    content = (folder / FILE_NAME).read_bytes()
    for length in range(0, len(content), 509):
        image = tmp_path / f"short-{length}"
        image.mkdir()
        (image / FILE_NAME).write_bytes(content[:length])
        assert notices_or_is_unharmed(image, {}, length)
        shutil.rmtree(image)


def test_every_code_is_reached_without_an_escaping_error(folder: Path) -> None:
    """A file of rubbish behind an honest header."""
    content = bytearray((folder / FILE_NAME).read_bytes())
    random = Random(11)
    content[4096:] = random.randbytes(len(content) - 4096)
    (folder / FILE_NAME).write_bytes(content)
    with closing(Journal.open_reading(folder)) as journal:
        assert journal.audit()[0].code == "file-damaged"
        calls: tuple[Callable[[], object], ...] = (journal.batches, lambda: journal.events("wall-1"))
        for call in calls:
            with pytest.raises(JournalError):
                call()
    with closing(Journal.open(folder)) as journal, pytest.raises(JournalError) as caught:
        journal.append("wall-1", one(9, "k", "{}"))
    assert (caught.value.code, caught.value.outcome) == ("file-damaged", "unknown")
