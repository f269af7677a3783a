"""The stock by words: deliveries, counts, movements, and what batches take by their own readings, each once."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from mixstation.batch.events import (
    BatchDiscarded,
    BatchFinished,
    Entry,
    EntryTakenBack,
    Fact,
    Stamp,
    WeightRecorded,
)
from mixstation.batch.run import fold
from mixstation.cli.jobs import at_end, draw_stock
from mixstation.cli.main import main
from mixstation.planning.kept import KeptPlan
from mixstation.planning.orders import order_of, to_keep
from mixstation.planning.talk import PlanTalk
from mixstation.record import stock_draws
from mixstation.record.codec import new_event, read
from mixstation.record.journal import Journal
from mixstation.record.stock_draws import draw_batch, draw_missed, kept_count_of, used_mg
from mixstation.record.stock_ledger import FILE_NAME, StockLedger
from mixstation.record.stored import EventStore
from mixstation.station.order import start_fact
from mixstation.units.show import DisplayUnits
from mixstation.wording import stock_lines as words
from tests.planning.yard import around, say
from tests.record.memory_journal import MemoryJournal

DAY_MS = 86_400_000
T0 = 1_770_000_000_000


@pytest.fixture(autouse=True)
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path))
    return tmp_path / "data"


def stock(capsys: pytest.CaptureFixture[str], *said: str) -> tuple[str, str]:
    assert main(["stock", *said]) == 0
    heard = capsys.readouterr()
    return heard.out, heard.err


def refused(capsys: pytest.CaptureFixture[str], *said: str) -> str:
    try:
        code: object = main(["stock", *said])
    except SystemExit as left:
        code = left.code
    assert code in (1, 2)
    return capsys.readouterr().err


def plan() -> KeptPlan:
    talk = PlanTalk(around())
    say(talk, "1", "700", "450", "18", *[""] * 8)
    assert talk.planned is not None
    return to_keep(
        talk.planned.plan, talk.planned.loaded, plan_id="p260504-beef", made_ms=0, units=DisplayUnits.METRIC
    )


def weight(material: str, mass_mg: int, step: str | None = None) -> WeightRecorded:
    return WeightRecorded(
        step=step, material=material, mass_mg=mass_mg, source="typed", shown="", division_mg=1000
    )


FINISHED = BatchFinished(accepted=(), concession="")
DISCARDED = BatchDiscarded(reason="stiffened")


def stored(store: EventStore, batch_id: str, *facts: Fact, at_ms: int = T0) -> None:
    """Store a batch of the plan's first bucket; its entries are a minute apart."""
    start = start_fact(order_of(plan(), 1, None), batch_id)
    for seq, fact in enumerate((start, *facts), start=1):
        stamp = Stamp(utc_ms=at_ms + seq * 60_000, offset_min=0, boot_ms=0, mono_ms=0, boot_id="b", who="Ida")
        store.append(batch_id, [new_event(Entry(seq=seq, stamp=stamp, fact=fact))])


def received(data: Path, at_ms: int = T0 - DAY_MS, **masses_mg: int) -> None:
    ledger = StockLedger.open(data)
    for material, mass_mg in masses_mg.items():
        entry = f"d-{material}-{at_ms}"
        ledger.receive(entry, at_ms=at_ms, who="Ida", material=material, mass_mg=mass_mg)
    ledger.close()


def on_hand(data: Path) -> dict[str, int]:
    ledger = StockLedger.open(data)
    lines = {line.material: line.mass_mg for line in ledger.on_hand()}
    ledger.close()
    return lines


def test_an_empty_stock_says_how_to_begin(capsys: pytest.CaptureFixture[str]) -> None:
    assert stock(capsys)[0].strip() == words.NOTHING_KEPT
    assert stock(capsys, "movements")[0].strip() == words.NOTHING_KEPT


def test_deliveries_and_counts_by_words(capsys: pytest.CaptureFixture[str]) -> None:
    stock(capsys, "receive", "cement", "--packs", "2", "--lot", "A7", "--who", "Ida")
    stock(capsys, "receive", "fibre", "2,5 kg")
    out, _ = stock(capsys, "count", "cement", "43")
    assert out.strip() == "43 kg White cement entered, lot A7. On hand: 43 kg."
    lines = stock(capsys)[0].splitlines()
    assert lines[0].split("  ")[0] == "cement"
    assert "lot A7" in lines[0]
    assert "1 pack of 25 kg, 18 kg in an open one" in lines[0]
    assert "2.5 kg" in lines[1]
    moved = stock(capsys, "movements")[0].splitlines()
    assert [line.split()[2] for line in moved] == ["came", "came", "counted"]
    assert "+50 kg" in moved[0]
    assert moved[0].endswith("Ida")
    assert "-7 kg" in moved[2]
    rows = json.loads(stock(capsys, "--json")[0])["stock"]
    assert rows[0] == {"material": "cement", "lot": "A7", "mass": "43000 g", "pack": "25000 g"}


def test_in_pounds(capsys: pytest.CaptureFixture[str]) -> None:
    stock(capsys, "receive", "cement", "94", "--pack", "94 lb", "--units", "us")
    assert "94" in stock(capsys, "--units", "us")[0]
    # 94 lb at 0.45359237 kg.
    assert "42.638 kg" in stock(capsys)[0]


def test_an_entry_with_a_name_counts_once(capsys: pytest.CaptureFixture[str], data: Path) -> None:
    for _ in range(2):
        out, _ = stock(capsys, "receive", "sand", "25 kg", "--entry", "van-12")
    assert out.strip() == words.ENTERED_BEFORE.format(entry="van-12")
    assert on_hand(data) == {"sand": 25_000_000}


@pytest.mark.parametrize(
    ("said", "heard"),
    [
        (("receive", "cemnt", "5 kg"), "Did you mean “cement”?"),
        (("receive", "cement"), words.MASS_OR_PACKS),
        (("receive", "cement", "5 kg", "--packs", "2"), words.MASS_OR_PACKS),
        (("receive", "cement", "0 kg"), "cannot be entered"),
        (("receive", "cement", "--packs", "-1"), "The pack count must be ≥ 1"),
        (("count", "cement", "-1 kg"), "The stock mass must be ≥ 0 g"),
        (("count", "cement", "1,234 kg"), "can be 1.234 or 1234"),
        (("receive", "tint", "--packs", "2", "--new"), words.NO_PACK_SIZE.format(name="tint")),
        (("count", "cement", "5 mm"), "is a length"),
    ],
)
def test_what_cannot_be_entered_is_said(
    capsys: pytest.CaptureFixture[str], data: Path, said: tuple[str, ...], heard: str
) -> None:
    assert heard in " ".join(refused(capsys, *said).split())
    assert on_hand(data) == {}


def test_several_lots_are_asked_about(capsys: pytest.CaptureFixture[str], data: Path) -> None:
    for lot in ("A", "B"):
        stock(capsys, "receive", "cement", "25 kg", "--lot", lot)
    assert "A, B" in refused(capsys, "count", "cement", "3 kg")
    stock(capsys, "count", "cement", "3 kg", "--lot", "A")
    assert sum(on_hand(data).values()) > 0


def test_a_material_that_no_recipe_has_yet(capsys: pytest.CaptureFixture[str], data: Path) -> None:
    stock(capsys, "receive", "tint", "0.5 kg", "--new")
    assert on_hand(data) == {"tint": 500_000}


def test_text_from_outside_is_cleaned(capsys: pytest.CaptureFixture[str]) -> None:
    stock(capsys, "receive", "tint\x1b[2J", "1 kg", "--new", "--lot", "a\nb\u202e", "--note", "=1+1\x07")
    out = stock(capsys)[0] + stock(capsys, "movements")[0]
    assert all(line.isprintable() for line in out.splitlines())


@pytest.mark.parametrize("end", [FINISHED, DISCARDED])
def test_a_batch_draws_what_was_weighed_in_and_not_taken_back(data: Path, end: Fact) -> None:
    received(data, cement=25_000_000, plasticiser=1_000_000)
    store = MemoryJournal()
    stored(
        store,
        "b1",
        weight("cement", 2_000_000),
        weight("cement", 5_000_000),
        weight("water", 700_000),
        weight("plasticiser", 60_000),
        weight("sand", 1_000_000),
        EntryTakenBack(seqs=(3,), reason="typed wrong"),
        end,
    )
    assert draw_stock(store, "b1") == words.UP_TO_DATE
    ratio = int(plan().buckets[0].recipe.material("plasticiser").name.rpartition(" 1 in ")[2])
    # Sand was never entered, so it is not kept count of; the dilution holds one part of plasticiser.
    assert on_hand(data) == {"cement": 23_000_000, "plasticiser": 1_000_000 - round(60_000 / ratio)}
    assert draw_stock(store, "b1") == words.UP_TO_DATE
    assert on_hand(data)["cement"] == 23_000_000


def test_an_open_batch_draws_nothing(data: Path) -> None:
    received(data, cement=25_000_000)
    store = MemoryJournal()
    stored(store, "b1", weight("cement", 2_000_000))
    assert draw_stock(store, "b1") == ""
    assert on_hand(data) == {"cement": 25_000_000}


def test_where_no_stock_is_kept_none_is_made(data: Path) -> None:
    store = MemoryJournal()
    stored(store, "b1", weight("cement", 2_000_000), FINISHED)
    assert draw_stock(store, "b1") == ""
    assert not (data / FILE_NAME).exists()


def test_a_stock_that_cannot_be_written_keeps_the_record_from_nothing(data: Path) -> None:
    store = MemoryJournal()
    stored(store, "b1", weight("cement", 2_000_000), FINISHED)
    data.mkdir(parents=True)
    (data / FILE_NAME).write_bytes(b"no stock of ours, and long enough to be looked at" * 50)
    said = at_end(store, "b1")
    assert words.NOT_UP_TO_DATE in said
    assert (data / "records" / "batch-b1.json").exists()


def test_a_record_that_cannot_be_written_keeps_the_stock_from_nothing(data: Path) -> None:
    received(data, cement=25_000_000)
    (data / "records").write_text("in the way", "utf-8")
    store = MemoryJournal()
    stored(store, "b1", weight("cement", 2_000_000), FINISHED)
    said = at_end(store, "b1")
    assert words.UP_TO_DATE in said
    assert on_hand(data) == {"cement": 23_000_000}


def test_a_missed_draw_is_made_up_for_at_the_next_look(
    capsys: pytest.CaptureFixture[str], data: Path
) -> None:
    received(data, cement=25_000_000)
    journal = Journal.open(data)
    stored(journal, "b1", weight("cement", 2_000_000), FINISHED)
    stored(journal, "b2", weight("cement", 1_000_000), at_ms=T0 + DAY_MS)
    stored(journal, "b3", weight("cement", 500_000), DISCARDED, at_ms=T0 + 2 * DAY_MS)
    journal.close()
    out, err = stock(capsys)
    assert err.splitlines() == [
        "Taken for batch b1: 2 kg White cement.",
        "Taken for batch b3: 500 g White cement.",
    ]
    assert "22.5 kg" in out
    assert stock(capsys)[1] == ""
    assert on_hand(data) == {"cement": 22_500_000}


def test_of_an_open_batch_and_of_one_before_the_stock_little_or_nothing_is_read(
    data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store = MemoryJournal()
    stored(store, "old", weight("cement", 2_000_000), FINISHED)
    stored(store, "new", weight("cement", 1_000_000), FINISHED, at_ms=T0 + 2 * DAY_MS)
    stored(store, "open", weight("cement", 500_000), at_ms=T0 + 3 * DAY_MS)
    received(data, at_ms=T0 + DAY_MS, cement=25_000_000)
    bodies: list[str] = []

    def counted(seq: int, body: str) -> Entry:
        bodies.append(body)
        return read(seq, body)

    monkeypatch.setattr(stock_draws, "read", counted)
    ledger = StockLedger.open(data)
    assert [drawn.batch_id for drawn in draw_missed(store, ledger)] == ["new"]
    ledger.close()
    assert set(bodies) == {event.body for event in (*store.events("new"), store.events("old")[-1])}


def test_batches_before_the_stock_was_kept_draw_nothing(data: Path) -> None:
    store = MemoryJournal()
    stored(store, "old", weight("cement", 2_000_000), FINISHED)
    received(data, at_ms=T0 + DAY_MS, cement=25_000_000)
    ledger = StockLedger.open(data)
    assert draw_missed(store, ledger) == ()
    ledger.close()
    assert on_hand(data) == {"cement": 25_000_000}


def test_what_was_counted_since_is_not_drawn_again(data: Path) -> None:
    received(data, cement=25_000_000)
    store = MemoryJournal()
    # Counted between the two weighings: the first was gone by then.
    stored(store, "b1", weight("cement", 2_000_000), weight("cement", 1_000_000), FINISHED)
    ledger = StockLedger.open(data)
    ledger.count("c1", at_ms=T0 + 150_000, who="Ida", material="cement", mass_mg=22_800_000)
    drawn = draw_batch(store, ledger, "b1")
    assert drawn is not None
    assert drawn.amounts_mg == {"cement": 1_000_000}
    assert kept_count_of(ledger.movements()) == {"cement"}
    ledger.close()
    assert on_hand(data) == {"cement": 21_800_000}


def test_a_batch_that_drew_otherwise_is_said_and_changes_nothing(data: Path) -> None:
    received(data, cement=25_000_000)
    ledger = StockLedger.open(data)
    ledger.draw("b1", {"cement": 7_000_000}, at_ms=T0, who="Ida")
    ledger.close()
    store = MemoryJournal()
    stored(store, "b1", weight("cement", 2_000_000), FINISHED)
    assert draw_stock(store, "b1") == words.DRAWN_OTHERWISE.format(batch_id="b1")
    assert on_hand(data) == {"cement": 18_000_000}


def test_a_recipe_text_that_cannot_be_read_any_more_counts_what_was_weighed() -> None:
    start = replace(start_fact(order_of(plan(), 1, None), "b1"), recipe_text="gone")
    stamp = Stamp(utc_ms=T0, offset_min=0, boot_ms=0, mono_ms=0, boot_id="b", who="")
    facts = (start, weight("plasticiser", 60_000))
    run = fold(tuple(Entry(seq=n, stamp=stamp, fact=fact) for n, fact in enumerate(facts, start=1)))
    assert used_mg(run) == {"plasticiser": 60_000}
