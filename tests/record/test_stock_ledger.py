"""Stock after is stock before less what was drawn; nothing entered is lost, changed or entered twice."""

import contextlib
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mixstation.plan.stock import StockLine, on_hand_mg
from mixstation.record import stock_ledger
from mixstation.record.errors import StorageError
from mixstation.record.stock_ledger import FILE_NAME, MAX_MASS_MG, StockLedger
from mixstation.record.trouble import AtPath
from tests.depth import examples
from tests.record.power_cut import Kept, disk_after_cut, lay_out, recorded, strace_works

AT = {"at_ms": 1_770_000_000_000, "who": "the mixer"}


@pytest.fixture
def ledger(tmp_path: Path) -> Iterator[StockLedger]:
    with closing(StockLedger.open(tmp_path / "data")) as opened:
        yield opened


def receive(ledger: StockLedger, entry: str, material: str, mass_mg: int, **more: object) -> bool:
    return ledger.receive(entry, material=material, mass_mg=mass_mg, **AT, **more)  # type: ignore[arg-type]


def draw(ledger: StockLedger, batch_id: str, amounts: dict[str, int], **more: object) -> str:
    return ledger.draw(batch_id, amounts, **AT, **more)  # type: ignore[arg-type]


def test_deliveries_draws_and_a_count_by_hand(ledger: StockLedger) -> None:
    assert receive(ledger, "d1", "cement", 50_000_000, lot="A", pack_mg=25_000_000)
    assert receive(ledger, "d2", "cement", 25_000_000, lot="B", pack_mg=25_000_000)
    assert receive(ledger, "d3", "sand", 30_000_000)
    assert draw(ledger, "wall-1", {"cement": 30_000_000, "sand": 8_000_000, "water": 0}) == "drawn"
    # Lot A first: one bag and 5 kg of the next. The open bag of A then goes before the full ones.
    assert ledger.on_hand() == (
        StockLine(material="cement", lot="A", mass_mg=20_000_000, pack_mg=25_000_000),
        StockLine(material="cement", lot="B", mass_mg=25_000_000, pack_mg=25_000_000),
        StockLine(material="sand", lot="", mass_mg=22_000_000),
    )
    assert draw(ledger, "wall-2", {"cement": 24_000_000}) == "drawn"
    assert ledger.count("c1", material="sand", mass_mg=21_500_000, **AT)  # type: ignore[arg-type]
    assert on_hand_mg(ledger.on_hand()) == {"cement": 21_000_000, "sand": 21_500_000}
    kinds = [(m.number, m.kind, m.material, m.lot, m.mass_mg) for m in ledger.movements()]
    assert kinds[3:] == [
        (4, "drawn", "cement", "A", -30_000_000),
        (5, "drawn", "sand", "", -8_000_000),
        (6, "drawn", "cement", "A", -20_000_000),
        (7, "drawn", "cement", "B", -4_000_000),
        (8, "counted", "sand", "", -500_000),
    ]


def test_a_batch_draws_once(ledger: StockLedger) -> None:
    receive(ledger, "d1", "cement", 20_000_000)
    assert draw(ledger, "wall-1", {"cement": 5_000_000}) == "drawn"
    assert draw(ledger, "wall-1", {"cement": 5_000_000}) == "drawn-before"
    assert draw(ledger, "wall-1", {"cement": 6_000_000}) == "drawn-otherwise"
    assert draw(ledger, "wall-1", {"sand": 5_000_000}) == "drawn-otherwise"
    assert on_hand_mg(ledger.on_hand()) == {"cement": 15_000_000}


def test_a_delivery_and_a_count_are_entered_once(ledger: StockLedger) -> None:
    assert receive(ledger, "d1", "cement", 20_000_000)
    assert not receive(ledger, "d1", "cement", 20_000_000)
    count = {"material": "cement", "mass_mg": 18_000_000, **AT}
    assert ledger.count("d1", **count)  # type: ignore[arg-type]
    draw(ledger, "wall-1", {"cement": 1_000_000})
    assert not ledger.count("d1", **count)  # type: ignore[arg-type]
    assert on_hand_mg(ledger.on_hand()) == {"cement": 17_000_000}


def test_a_named_lot_is_drawn_from_and_may_go_below_nought(ledger: StockLedger) -> None:
    receive(ledger, "d1", "ochre", 1_000_000, lot="x")
    receive(ledger, "d2", "ochre", 1_000_000, lot="y")
    draw(ledger, "wall-1", {"ochre": 1_200_000}, lots={"ochre": {"y": 1_200_000}})
    assert {line.lot: line.mass_mg for line in ledger.on_hand()} == {"x": 1_000_000, "y": -200_000}
    draw(ledger, "wall-2", {"ochre": 1_500_000, "lime": 40})
    assert on_hand_mg(ledger.on_hand()) == {"ochre": -700_000, "lime": -40}


def test_of_a_draw_known_in_part_the_rest_comes_out_of_what_is_left(ledger: StockLedger) -> None:
    receive(ledger, "d1", "ochre", 1_000_000, lot="x")
    receive(ledger, "d2", "ochre", 1_000_000, lot="y")
    draw(ledger, "wall-1", {"ochre": 1_200_000}, lots={"ochre": {"x": 700_000}})
    assert on_hand_mg(ledger.on_hand()) == {"ochre": 800_000}
    assert {line.lot: line.mass_mg for line in ledger.on_hand()} == {"y": 800_000}


materials = st.sampled_from(["cement", "sand"])
lots = st.sampled_from(["", "A", "B"])
masses = st.integers(1, 60_000_000)
moves = st.one_of(
    st.tuples(st.just("receive"), materials, lots, masses),
    st.tuples(st.just("draw"), materials, st.none() | lots, masses),
    st.tuples(st.just("count"), materials, lots, st.integers(0, 60_000_000)),
)


@settings(max_examples=examples(40))
@given(st.lists(moves, max_size=12), st.lists(st.integers(0, 11), max_size=4))
def test_after_is_before_less_the_draws(
    made: list[tuple[str, str, str | None, int]], again: list[int]
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        with closing(StockLedger.open(Path(folder))) as ledger:
            for number, (what, material, lot, mass_mg) in enumerate(made):
                before = on_hand_mg(ledger.on_hand())
                for _ in range(2 if number in again else 1):
                    if what == "receive":
                        receive(ledger, f"{number}", material, mass_mg, lot=lot, pack_mg=25_000_000)
                    elif what == "draw":
                        named = {} if lot is None else {"lots": {material: {lot: mass_mg}}}
                        draw(ledger, f"batch-{number}", {material: mass_mg}, **named)
                    else:
                        ledger.count(f"{number}", material=material, lot=lot or "", mass_mg=mass_mg, **AT)  # type: ignore[arg-type]
                after = on_hand_mg(ledger.on_hand())
                other = "sand" if material == "cement" else "cement"
                assert after.get(other, 0) == before.get(other, 0)
                if what == "count":
                    counted = {(line.material, line.lot): line.mass_mg for line in ledger.on_hand()}
                    assert counted.get((material, lot or ""), 0) == mass_mg
                else:
                    change = mass_mg if what == "receive" else -mass_mg
                    assert after.get(material, 0) == before.get(material, 0) + change
            held, all_moves = ledger.on_hand(), ledger.movements()
        with closing(StockLedger.open(Path(folder))) as ledger:
            assert (ledger.on_hand(), ledger.movements()) == (held, all_moves)
        assert [move.number for move in all_moves] == list(range(1, len(all_moves) + 1))


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE movement SET mass_mg = 1",
        "DELETE FROM movement",
        "INSERT OR REPLACE INTO movement SELECT number, kind, entry, 0, '', material, lot, 0, 9, '' FROM movement",
        "INSERT INTO movement SELECT 7, kind, 'd9', 0, '', material, lot, 0, 9, '' FROM movement",
        "INSERT INTO movement SELECT 2, kind, entry, 0, '', material, lot, 0, 9, '' FROM movement",
    ],
)
def test_nothing_entered_is_changed(ledger: StockLedger, tmp_path: Path, statement: str) -> None:
    receive(ledger, "d1", "cement", 20_000_000)
    before = ledger.movements()
    ledger.close()
    with (
        closing(sqlite3.connect(tmp_path / "data" / FILE_NAME)) as other,
        pytest.raises(sqlite3.IntegrityError),
    ):
        other.execute(statement)
    with closing(StockLedger.open(tmp_path / "data")) as again:
        assert again.movements() == before


def test_masses_that_cannot_be(ledger: StockLedger) -> None:
    for call in (
        lambda: receive(ledger, "d", "cement", 0),
        lambda: receive(ledger, "d", "cement", MAX_MASS_MG + 1),
        lambda: receive(ledger, "d", "cement", 1, pack_mg=-1),
        lambda: draw(ledger, "b", {"cement": -1}),
        lambda: ledger.count("c", material="cement", mass_mg=-1, **AT),  # type: ignore[arg-type]
    ):
        with pytest.raises(ValueError, match="cannot"):
            call()
    assert ledger.movements() == ()


def test_text_from_outside_is_cleaned(ledger: StockLedger) -> None:
    receive(ledger, "d1", "cement", 5, lot="7\x1b[2J", note="a\u202eb")
    (moved,) = ledger.movements()
    assert (moved.lot, moved.note) == ("7\ufffd[2J", "a\ufffdb")


def test_a_file_that_is_something_else_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / FILE_NAME
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE recipe (name TEXT)")
    before = path.read_bytes()
    with pytest.raises(StorageError) as caught:
        StockLedger.open(tmp_path)
    assert caught.value.why == AtPath(code="not-a-journal", path=str(path))
    assert path.read_bytes() == before
    path.write_text("stock", "utf-8")
    with pytest.raises(StorageError) as caught:
        StockLedger.open(tmp_path)
    assert caught.value.code == "not-a-journal"


def test_what_a_later_program_wrote_is_only_read(tmp_path: Path) -> None:
    with closing(StockLedger.open(tmp_path)) as ledger:
        receive(ledger, "d1", "cement", 20_000_000)
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as later:
        later.execute("PRAGMA user_version = 99")
    with closing(StockLedger.open(tmp_path)) as ledger:
        assert ledger.read_only
        assert on_hand_mg(ledger.on_hand()) == {"cement": 20_000_000}
        with pytest.raises(StorageError) as caught:
            draw(ledger, "wall-1", {"cement": 1})
        assert caught.value.code == "read-only"


def test_another_process_may_enter_a_delivery_meanwhile(ledger: StockLedger, tmp_path: Path) -> None:
    receive(ledger, "d1", "cement", 20_000_000)
    program = (
        "import sys; from pathlib import Path; from mixstation.record.stock_ledger import StockLedger\n"
        "ledger = StockLedger.open(Path(sys.argv[1]))\n"
        "for n in range(20): ledger.receive(f'other-{n}', at_ms=1, who='', material='cement', mass_mg=1000)\n"
    )
    other = subprocess.Popen([sys.executable, "-c", program, str(tmp_path / "data")])
    for number in range(20):
        draw(ledger, f"wall-{number}", {"cement": 2000})
    assert other.wait(90) == 0
    assert on_hand_mg(ledger.on_hand()) == {"cement": 20_000_000 - 20 * 1000}
    assert [move.number for move in ledger.movements()] == list(range(1, 42))


def test_on_a_full_disk_nothing_is_half_drawn(small_disk: Path) -> None:
    with closing(StockLedger.open(small_disk / "data")) as ledger:
        receive(ledger, "d1", "cement", 50_000_000)
        receive(ledger, "d2", "sand", 50_000_000)
        filler = small_disk / "filler"
        with contextlib.suppress(OSError), filler.open("wb", buffering=0) as file:
            while True:
                file.write(b"\xff" * 4096)
        refused = None
        drawn_count = 0
        while refused is None:
            amounts = {"cement": 1000, "sand": 1000}
            try:
                draw(ledger, f"wall-{drawn_count}" + "x" * 90, amounts)
                drawn_count += 1
            except StorageError as error:
                refused = error
        assert refused.code == "disk-full"
        filler.unlink()
        # The refused one is tried again, and once more.
        assert draw(ledger, f"wall-{drawn_count}" + "x" * 90, amounts) == "drawn"
        assert draw(ledger, f"wall-{drawn_count}" + "x" * 90, amounts) == "drawn-before"
        used_mg = 1000 * (drawn_count + 1)
        assert on_hand_mg(ledger.on_hand()) == {"cement": 50_000_000 - used_mg, "sand": 50_000_000 - used_mg}


def test_a_folder_that_may_not_be_written(tmp_path: Path, make_read_only: Callable[[Path], None]) -> None:
    make_read_only(tmp_path)
    with pytest.raises(StorageError) as caught:
        StockLedger.open(tmp_path)
    assert caught.value.code in ("read-only", "not-permitted", "storage-failed")


WRITER = """
import os, sys
from pathlib import Path
from mixstation.record import durable, stock_ledger
{planted}
ledger = stock_ledger.StockLedger.open(Path(sys.argv[1]) / "made" / "data")
ledger.receive("d1", at_ms=1, who="", material="cement", mass_mg=50_000_000)
os.write(1, b"saved")
for number in range(5):
    ledger.draw(f"wall-{{number}}", {{"cement": 1000, "sand": 500}}, at_ms=1, who="")
    os.write(1, b"saved")
"""


def lost_in_power_cuts(planted: str, tmp_path: Path) -> tuple[int, int]:
    root = tmp_path / "root"
    root.mkdir()
    steps = recorded(WRITER.format(planted=planted), root, trace=tmp_path / "trace")
    random = Random(11)
    lost_count = cut_count = 0
    kinds: tuple[Kept, ...] = ("nothing", "everything", "some")
    in_memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=in_memory if in_memory.is_dir() else None) as images:
        for cut in range(len(steps) + 1):
            said_count = sum(step.act == "say" for step in steps[:cut])
            for kept in kinds:
                image = Path(images) / str(cut_count)
                image.mkdir()
                lay_out(disk_after_cut(steps[:cut], kept, random), root, image)
                cut_count += 1
                lost_count += not survives(image / "made" / "data", said_count)
                shutil.rmtree(image)
    return lost_count, cut_count


def survives(folder: Path, said_count: int) -> bool:
    try:
        with closing(StockLedger.open(folder)) as ledger:
            held = ledger.movements()
            drawn = sum(move.kind == "drawn" for move in held)
            # A draw of two materials is there whole or not at all.
            done_count = (len(held) > 0) + drawn / 2
            return done_count in (said_count, said_count + 1)
    except StorageError:
        return False


@pytest.mark.skipif(not strace_works(), reason="needs strace, and the right to use it")
def test_nothing_acknowledged_is_lost_in_a_power_cut(tmp_path: Path) -> None:
    lost_count, cut_count = lost_in_power_cuts("", tmp_path)
    assert cut_count > 200
    assert lost_count == 0


@pytest.mark.skipif(not strace_works(), reason="needs strace, and the right to use it")
def test_a_ledger_that_flushes_too_little_is_caught(tmp_path: Path) -> None:
    planted = "durable.JOURNAL_MODE, durable.SYNCHRONOUS = 'DELETE', 'FULL'"
    assert lost_in_power_cuts(planted, tmp_path)[0] > 0


PRICED = (
    "ALTER TABLE movement ADD COLUMN price_cents INTEGER NOT NULL DEFAULT 0",
    "CREATE TABLE supplier (name TEXT NOT NULL) STRICT",
)


def test_a_ledger_of_earlier_tables_is_brought_up_to_date_and_reads_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And the earlier program then only reads it, as a later one's."""
    pinned = Path(__file__).parents[1] / "pinned" / "home_1" / "data" / FILE_NAME
    shutil.copy(pinned, tmp_path)
    with closing(StockLedger.open(tmp_path)) as ledger:
        before = ledger.on_hand(), ledger.movements()
    with monkeypatch.context() as later:
        later.setattr(stock_ledger, "TABLES", replace(stock_ledger.TABLES, upgrades=(PRICED,)))
        for _ in range(2):
            with closing(StockLedger.open(tmp_path)) as ledger:
                assert not ledger.read_only
                assert (ledger.on_hand(), ledger.movements()) == before
        with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection:
            assert connection.execute("SELECT DISTINCT price_cents FROM movement").fetchall() == [(0,)]
            assert connection.execute("SELECT count(*) FROM supplier").fetchone() == (0,)
            assert connection.execute("PRAGMA user_version").fetchone() == (2,)
    with closing(StockLedger.open(tmp_path)) as ledger:
        assert ledger.read_only
        assert (ledger.on_hand(), ledger.movements()) == before


def test_an_upgrade_that_fails_half_way_leaves_the_file_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with closing(StockLedger.open(tmp_path)):
        pass
    before = (tmp_path / FILE_NAME).read_bytes()
    broken = (PRICED[0], "CREATE TABLE movement (x)")
    monkeypatch.setattr(stock_ledger, "TABLES", replace(stock_ledger.TABLES, upgrades=(broken,)))
    with pytest.raises(StorageError):
        StockLedger.open(tmp_path)
    assert (tmp_path / FILE_NAME).read_bytes() == before
