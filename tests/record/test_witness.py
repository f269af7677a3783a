"""The witness lags behind in any crash and is never ahead; what it says is kept until the journal bears it out."""

import json
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from random import Random

import pytest

from mixstation.record import journal as journal_module
from mixstation.record import proof
from mixstation.record.errors import JournalError
from mixstation.record.journal import FILE_NAME, Journal
from mixstation.record.salvage import salvage
from mixstation.record.trouble import JournalGone
from mixstation.record.witness import FILE_NAME as WITNESS_NAME
from mixstation.record.witness import Claim, add_file, read_witness, write_witness
from tests.record.events import several


def grow(folder: Path, batch_id: str, count: int, times: int = 1) -> None:
    with closing(Journal.open(folder)) as journal:
        for _ in range(times):
            held_count = len(journal.events(batch_id))
            journal.append(batch_id, several(held_count + 1, *("{}" for _ in range(count))))


def notices(folder: Path) -> tuple[str, ...]:
    with closing(Journal.open(folder)) as journal:
        return journal.notices()


def claimed(folder: Path) -> dict[str, int]:
    return {claim.batch_id: claim.entry_count for claim in read_witness(folder).claims}


def differing(folder: Path) -> list[tuple[str, str, int, int]]:
    claims = read_witness(folder).claims
    with closing(Journal.open_reading(folder)) as journal:
        found = journal.ask(lambda connection: proof.all_differences(connection, claims))
    return [(each.code, each.batch_id, each.expected, each.found) for each in found]


def rewrite(folder: Path, *statements: str) -> None:
    with closing(sqlite3.connect(folder / FILE_NAME, isolation_level=None)) as connection:
        for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
            connection.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            connection.execute(statement)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name, count in (("wall-1", 4), ("wall-2", 3), ("hearth-1", 2)):
        grow(tmp_path, name, count)
    return tmp_path


def test_it_says_what_the_journal_holds(folder: Path) -> None:
    assert claimed(folder) == {"wall-1": 4, "wall-2": 3, "hearth-1": 2}
    assert notices(folder) == ()
    assert differing(folder) == []


def test_a_crash_between_commit_and_witness_is_caught_up(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as crash:
        crash.setattr(journal_module, "add_claim", lambda *_: True)
        grow(folder, "wall-2", 2)
    assert claimed(folder)["wall-2"] == 3
    assert differing(folder) == []
    assert notices(folder) == ()
    assert claimed(folder)["wall-2"] == 5


def test_a_witness_that_cannot_be_written_stops_nothing_and_is_told(folder: Path) -> None:
    with closing(Journal.open(folder)) as journal:
        (folder / WITNESS_NAME).rename(folder / "elsewhere")
        (folder / WITNESS_NAME).symlink_to(folder / "elsewhere")
        assert len(journal.append("wall-1", several(5, "{}", "{}"))) == 2
        journal.append("wall-1", several(7, "{}"))
        assert journal.notices() == ("witness-behind",)
    (folder / WITNESS_NAME).unlink()
    (folder / "elsewhere").rename(folder / WITNESS_NAME)
    assert notices(folder) == ()
    assert claimed(folder)["wall-1"] == 7


def test_on_a_full_disk_entries_go_on_and_the_witness_catches_up(small_disk: Path) -> None:
    grow(small_disk, "wall-1", 1)
    with closing(Journal.open(small_disk)) as journal:
        filler = small_disk / "filler"
        with filler.open("wb", buffering=0) as file:
            try:
                while file.write(b"\xff" * 4096):
                    pass
            except OSError:
                pass
        stored_count = 1
        try:
            while stored_count < 3000:
                journal.append("wall-1", several(stored_count + 1, "x" * 200))
                stored_count += 1
        except JournalError:
            pass
        assert stored_count > 300
        filler.unlink()
    assert not {"entries-gone", "witness-altered", "witness-gone"} & set(notices(small_disk))
    assert claimed(small_disk) == {"wall-1": stored_count}


@pytest.mark.parametrize(
    ("statements", "found"),
    [
        (["DELETE FROM event WHERE batch = 2 AND seq > 1"], [("entries-gone", "wall-2", 3, 1)]),
        (
            ["DELETE FROM event WHERE batch = 3", "DELETE FROM batch WHERE number = 3"],
            [("batch-gone", "hearth-1", 2, 0)],
        ),
        (
            ["DELETE FROM event WHERE batch = 2", "DELETE FROM batch WHERE number = 2"],
            [("batch-gone", "wall-2", 3, 0), ("number-gap", "hearth-1", 2, 3)],
        ),
    ],
)
def test_what_is_removed_is_told_until_it_is_back(
    folder: Path, statements: list[str], found: list[tuple[str, str, int, int]]
) -> None:
    notices(folder)  # brings the numbers into the witness
    shutil.copy(folder / FILE_NAME, folder / "whole")
    rewrite(folder, *statements)
    for _ in range(2):  # opening to write does not make it good
        assert differing(folder) == found
        assert notices(folder) == ("entries-gone",)
    grow(folder, "new", 1)
    assert found[0] in differing(folder)
    shutil.copy(folder / "whole", folder / FILE_NAME)
    assert [code for code, *_ in differing(folder)] == ["batch-gone"]


def test_an_altered_entry_is_told_until_salvage_or_restore(folder: Path) -> None:
    rewrite(folder, "UPDATE event SET chain = x'00' WHERE batch = 1 AND seq = 4")
    for _ in range(2):
        assert differing(folder) == [("entries-altered", "wall-1", 4, 4)]
        assert notices(folder) == ("entries-gone",)


def test_with_many_batches_the_newest_are_looked_at_and_a_removed_one_is_missed(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At the opening; the audit compares all."""
    monkeypatch.setattr(proof, "_LOOKED_AT_COUNT", 1)
    notices(folder)
    assert notices(folder) == ()
    with closing(Journal.open(folder)) as journal:
        journal.append("wall-1", several(5, "{}"))  # an old batch that is told of since
    assert claimed(folder)["wall-1"] == 5
    assert notices(folder) == ()
    whole = (folder / WITNESS_NAME).read_bytes()
    rewrite(folder, "UPDATE event SET chain = x'00' WHERE batch = 1 AND seq = 5")
    assert notices(folder) == ()
    assert (folder / WITNESS_NAME).read_bytes() == whole
    assert differing(folder) == [("entries-altered", "wall-1", 5, 5)]
    rewrite(folder, "DELETE FROM event WHERE batch = 3", "DELETE FROM batch WHERE number = 3")
    assert notices(folder) == ("entries-gone",)


def test_batches_filed_under_other_numbers(folder: Path) -> None:
    notices(folder)
    rewrite(
        folder,
        "DELETE FROM event WHERE batch = 2",
        "DELETE FROM batch WHERE number = 2",
        "UPDATE batch SET number = 2 WHERE number = 3",
        "UPDATE event SET batch = 2 WHERE batch = 3",
    )
    assert differing(folder) == [("batch-gone", "wall-2", 3, 0), ("renumbered", "hearth-1", 3, 2)]


def test_an_older_witness_only_lags_behind(folder: Path) -> None:
    older = (folder / WITNESS_NAME).read_bytes()
    grow(folder, "wall-1", 3)
    grow(folder, "new", 1)
    (folder / WITNESS_NAME).write_bytes(older)
    assert notices(folder) == ()
    assert claimed(folder) == {"wall-1": 7, "wall-2": 3, "hearth-1": 2, "new": 1}


def test_in_a_read_only_folder_it_is_read_and_left_alone(
    folder: Path, make_read_only: Callable[[Path], None]
) -> None:
    rewrite(folder, "DELETE FROM event WHERE batch = 3 AND seq > 1")
    before = (folder / WITNESS_NAME).read_bytes()
    make_read_only(folder)
    assert notices(folder) == ("folder-read-only", "entries-gone")
    assert differing(folder) == [("entries-gone", "hearth-1", 2, 1)]
    assert (folder / WITNESS_NAME).read_bytes() == before


def test_an_older_journal_beside_a_newer_witness_is_told(folder: Path) -> None:
    older = (folder / FILE_NAME).read_bytes()
    grow(folder, "wall-1", 3)
    (folder / FILE_NAME).write_bytes(older)
    assert notices(folder) == ("entries-gone",)
    assert differing(folder) == [("entries-gone", "wall-1", 7, 4)]


def test_a_witness_removed_begins_again_and_says_so(folder: Path) -> None:
    (folder / WITNESS_NAME).unlink()
    assert notices(folder) == ("witness-begun",)
    assert notices(folder) == ()
    (folder / "records").mkdir()
    (folder / "records" / "batch-wall-1.json").write_text('{\n  "proof": {}\n}\n')
    (folder / WITNESS_NAME).unlink()
    assert notices(folder) == ("witness-gone",)


def test_a_flipped_bit_in_what_was_written_whole_is_seen(folder: Path) -> None:
    notices(folder)
    whole = (folder / WITNESS_NAME).read_bytes()
    told = read_witness(folder)
    random = Random(3)
    for at in range(len(whole)):
        flipped = bytearray(whole)
        flipped[at] ^= 1 << random.randrange(8)
        (folder / WITNESS_NAME).write_bytes(flipped)
        read = read_witness(folder)
        assert read.standing == "altered", at
        assert set(read.claims) <= set(told.claims), at
    (folder / WITNESS_NAME).write_bytes(b"")
    assert notices(folder) == ("witness-altered",)
    assert notices(folder) == ()


def test_lines_torn_in_a_power_cut_are_passed_over(folder: Path) -> None:
    random = Random(4)
    whole = (folder / WITNESS_NAME).read_bytes()
    added_at = whole.index(b'{"id":"hearth-1"')
    for _ in range(300):
        torn = bytearray(whole)
        for at in random.sample(range(added_at, len(torn)), 8):
            torn[at] = random.choice((0, 255, 10, 13))
        (folder / WITNESS_NAME).write_bytes(torn[: random.randrange(added_at, len(torn) + 1)])
        read = read_witness(folder)
        assert read.standing == "whole"
        assert {claim.batch_id for claim in read.claims} <= {"wall-1", "wall-2", "hearth-1"}
        assert differing(folder) == []


def test_what_is_doubted_of_a_batch_ends_with_its_newest_claim(folder: Path) -> None:
    """A batch cut to two entries, written on, and cut again: the bucket is asked about by the most ever known of it."""
    rewrite(folder, "DELETE FROM event WHERE batch = 1 AND seq > 2")
    assert "entries-gone" in notices(folder)
    with closing(Journal.open_reading(folder)) as journal:
        known = claimed(folder)["wall-1"]
        witness = read_witness(folder)
        (batch,) = (claim for claim in witness.claims if claim.batch_id == "wall-1" and claim.entry_count > 2)
        write_witness(
            folder, replace(witness, claims=(*witness.claims, replace(batch, entry_count=known + 3)))
        )
        found = journal.ask(lambda connection: proof.doubts(folder, connection, "wall-1"))
        assert [each.expected for each in found if each.batch_id == "wall-1"] == [known + 3]
        assert (
            journal.ask(lambda connection: proof.all_differences(connection, read_witness(folder).claims))
            == found
        )


def test_a_head_cut_short_is_borne_out(folder: Path) -> None:
    with closing(Journal.open_reading(folder)) as journal:
        third = journal.events("wall-1")[2]
        claims = [Claim(batch_id="wall-1", entry_count=3, head=head) for head in (third.chain[:16], "0" * 16)]
        found = journal.ask(lambda connection: proof.all_differences(connection, claims))
        assert [each.code for each in found] == ["entries-altered"]
        assert journal.ask(lambda connection: proof.all_differences(connection, claims[:1])) == ()


@pytest.mark.parametrize("trace", ["witness", "records", "links", "backups", "stock"])
def test_any_trace_keeps_a_journal_from_beginning_anew(tmp_path: Path, trace: str) -> None:
    from mixstation.record.stock_ledger import StockLedger

    match trace:
        case "witness":
            grow(tmp_path, "wall-1", 1)
            (tmp_path / FILE_NAME).unlink()
        case "stock":
            with closing(StockLedger.open(tmp_path)) as ledger:
                ledger.receive("d", at_ms=1, who="", material="blend", mass_mg=5)
                Journal.open(tmp_path).close()
                (tmp_path / FILE_NAME).unlink()
                Journal.open(tmp_path).close()  # a delivery is no batch
                (tmp_path / FILE_NAME).unlink()
                ledger.draw("wall-1", {"blend": 3}, at_ms=2, who="")
        case _:
            (tmp_path / trace).mkdir()
            (tmp_path / trace / "batch-wall-1.json").touch()
    for opened in (Journal.open, Journal.open_reading):
        with pytest.raises(JournalError) as caught:
            opened(tmp_path)
        assert caught.value.code == "journal-gone"
        assert isinstance(caught.value.why, JournalGone)
        assert len(caught.value.why.traces) == 1
    assert not (tmp_path / FILE_NAME).exists()


def test_a_journal_emptied_of_its_batches_is_gone_too(folder: Path) -> None:
    rewrite(folder, "DELETE FROM event", "DELETE FROM batch")
    with pytest.raises(JournalError) as caught:
        Journal.open(folder)
    assert caught.value.code == "journal-gone"


def signed(*lines: bytes, form: int = 1) -> bytes:
    """A witness whose every sum is right, whatever its lines say."""
    body = b"".join(line + b" " + sha256(line).hexdigest()[:8].encode() + b"\n" for line in lines)
    head = json.dumps(
        {"witness": form, "begun": "b", "lines": len(lines), "sum": sha256(body).hexdigest()}
    ).encode()
    return head + b" " + sha256(head).hexdigest()[:8].encode() + b"\n" + body


@pytest.mark.parametrize(
    "line",
    [
        b"no JSON",
        b"[" * 100_000,
        b"7",
        b"{}",
        *(
            b'{"id":"wall-1","entries":%b,"head":"00","number":%b}' % numbers
            for numbers in ((b"-1" + b"0" * 30, b"1"), (b"0", b"1"), (b"1" + b"0" * 30, b"1"), (b"1", b"-7"))
        ),
    ],
)
def test_a_right_sum_over_what_is_never_written_is_told(folder: Path, line: bytes) -> None:
    (folder / WITNESS_NAME).write_bytes(signed(line))
    assert read_witness(folder).standing == "altered"
    with closing(Journal.open_reading(folder)) as journal:
        assert journal.notices() == ("witness-altered",)
    assert salvage(folder).outcome == "salvaged"
    (folder / WITNESS_NAME).write_bytes(signed(line))
    assert notices(folder) == ("witness-altered",)


def test_a_witness_of_a_later_form_is_told_and_left_alone(folder: Path) -> None:
    later = signed(b'{"unheard":"of"}', form=9)
    (folder / WITNESS_NAME).write_bytes(later)
    with closing(Journal.open(folder)) as journal:
        assert journal.notices() == ("witness-later",)
        journal.append("wall-1", several(5, "{}"))
    assert not add_file(folder, "batch-wall-1.md", b"")
    with closing(Journal.open_reading(folder)) as journal:
        assert journal.notices() == ("witness-later",)
    assert salvage(folder).outcome == "sound"
    assert (folder / WITNESS_NAME).read_bytes() == later
    (folder / FILE_NAME).unlink()
    with pytest.raises(JournalError, match="journal-gone"):
        Journal.open(folder)
