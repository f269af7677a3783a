"""From a plan to mixed buckets, a stock drawn by what was weighed, and records that name the plan; with real files."""

import json
from pathlib import Path

import pytest

from mixstation.batch.events import Entry, WeightRecorded
from mixstation.cli.jobs import at_end
from mixstation.planning.around import stock_held
from mixstation.planning.job import Job, bucket_of, progress_of
from mixstation.planning.job_desk import JobDesk
from mixstation.planning.kept import KeptPlan, find_kept, kept_ids
from mixstation.planning.talk import PlanTalk
from mixstation.record.codec import read
from mixstation.record.journal import Journal
from mixstation.record.stock_ledger import StockLedger
from mixstation.station.bench import Bench, Settings
from mixstation.station.view import Answer, View
from mixstation.units.show import DisplayUnits
from mixstation.wording import planning as words
from tests.planning.typist import typed_through
from tests.planning.waiting import until
from tests.planning.yard import around

TWO_SLABS = ["1", "700", "450", "18", "0", "1", "1", "", "12", "", "18"]
RECEIVED = {"cement": 25_000_000, "sand": 25_000_000, "plasticiser": 1_000_000, "fibre": 5_000_000}


@pytest.fixture
def data(own_home: Path) -> Path:
    return own_home / "data"


@pytest.fixture
def stocked(data: Path) -> Path:
    ledger = StockLedger.open(data)
    for material, mass_mg in RECEIVED.items():
        ledger.receive(f"d-{material}", at_ms=1_000, who="Ida", material=material, mass_mg=mass_mg, lot="L1")
    ledger.close()
    return data


def job(data: Path, kept: KeptPlan | None = None, finished: tuple[int, ...] = ()) -> Job:
    bench = Bench(folder=data, settings=Settings(hands_free_s=0), who="Ida", at_end=at_end)
    return Job(
        bench,
        plans=data / "plans",
        units=DisplayUnits.METRIC,
        stock=lambda: stock_held(data, catching_up=False),
        kept=kept,
        finished=finished,
    )


def planned(data: Path, *first: str, until: str = "\0") -> str:
    """Plan and mix in line mode."""
    talk = PlanTalk(around(stock=stock_held(data)))
    desk = JobDesk(job(data), lambda _: talk)
    return typed_through(desk, [*TWO_SLABS, *first], until)


def batches(data: Path) -> dict[str, tuple[Entry, ...]]:
    journal = Journal.open_reading(data)
    try:
        return {
            row.batch_id: tuple(read(event.seq, event.body) for event in journal.events(row.batch_id))
            for row in reversed(journal.batches())
        }
    finally:
        journal.close()


def weighed_mg(entries: tuple[Entry, ...], material: str) -> int:
    facts = (entry.fact for entry in entries)
    return sum(f.mass_mg for f in facts if isinstance(f, WeightRecorded) and f.material == material)


def on_hand(data: Path) -> dict[str, int]:
    held = stock_held(data)
    assert held is not None
    return {line.material: line.mass_mg for line in held.lines}


def kept_now(data: Path) -> KeptPlan:
    (plan_id,) = kept_ids(data / "plans")
    return find_kept(data / "plans", plan_id)


def test_plan_mix_two_buckets_stock_and_records(stocked: Path) -> None:
    said = planned(stocked)
    kept = kept_now(stocked)
    done = batches(stocked)
    assert [bucket_of(kept, batch_id) for batch_id in done] == [1, 2]
    assert words.NEXT_ASK.format(done=1, count=2, number=2) in said
    assert said.rstrip().endswith(words.ALL_DONE.format(count=2, plan_id=kept.plan_id))
    # Stock after is stock before less what was weighed in; of the dilution, one part in its ratio.
    start = next(iter(done.values()))[0].fact
    diluted = start.recipe.material("plasticiser").name  # type: ignore[union-attr]
    ratio = int(diluted.rpartition(" 1 in ")[2])
    assert ratio >= 2
    after = on_hand(stocked)
    for material, before_mg in RECEIVED.items():
        read_mg = sum(weighed_mg(entries, material) for entries in done.values())
        used_mg = read_mg / ratio if material == "plasticiser" else read_mg
        assert read_mg > 0
        assert before_mg - after[material] == pytest.approx(used_mg, abs=1)
    # What was typed is not what was planned, so that the plan cannot be what was drawn.
    planned_mg = sum(a.mass_mg for b in kept.buckets for a in b.powders if a.material == "cement")
    assert sum(weighed_mg(entries, "cement") for entries in done.values()) == planned_mg + 2 * 3_000
    for number, batch_id in enumerate(done, start=1):
        record = json.loads((stocked / "records" / f"batch-{batch_id}.json").read_text("utf-8"))
        assert kept.plan_id in record["head"]["batch"]
        assert record["head"]["bucket"] == f"{number} of 2"
        assert record["head"]["piece"] == "1 × slab 700 mm × 450 mm"
        assert record["head"]["outcome"] == "finished"
        assert record["water"]["place"] == "inside"
        (cement,) = (used for used in record["materials"] if used["key"] == "cement")
        assert cement["lots"] == ["L1"]


def test_the_bucket_knows_what_was_planned(stocked: Path) -> None:
    planned(stocked, until="Read this")
    kept = kept_now(stocked)
    (entries,) = batches(stocked).values()
    start = entries[0].fact
    assert start.kind == "batch-started"
    assert (start.bucket_number, start.bucket_count, start.bucket_l) == (1, 2, 12.0)
    assert start.needed_l == pytest.approx(5.67 / 2, abs=0.02)
    assert start.scale is not None
    assert (start.scale.name, start.scale.division_mg, start.scale.checked) == ("floor", 5_000, "2026-02-01")
    assert start.shop_c == 18
    stock = {amount.material: amount.mass_mg for amount in start.stock}
    assert stock["cement"] == RECEIVED["cement"]
    # A kilogram of plasticiser is as many kilograms of its dilution as that is thin.
    ratio = int(start.recipe.material("plasticiser").name.rpartition(" 1 in ")[2])
    assert stock["plasticiser"] == ratio * RECEIVED["plasticiser"]
    assert "water" not in stock
    steps = {getattr(step, "material", ""): step for step in start.recipe.steps}
    assert steps["plasticiser"].say.startswith("On “bench”, out of ")
    assert steps["plasticiser"].say.endswith("Onto the water.")
    assert not steps["fibre"].say
    # The floor scale weighs the fibre well enough; the plasticiser is for the bench scale.
    assert {each.material for each in start.weighed_apart} == {"plasticiser"}
    assert {(each.scale, each.division_mg) for each in start.weighed_apart} == {("bench", 1_000)}
    assert not steps["cement"].say
    assert kept.buckets[0].recipe == start.recipe


def test_left_in_the_middle_and_taken_up_again_then_the_next_bucket(stocked: Path) -> None:
    planned(stocked, until="Plasticiser")
    kept = kept_now(stocked)
    journal = Journal.open_reading(stocked)
    progress = progress_of(journal, kept)
    journal.close()
    assert (progress.finished, list(progress.open)) == (frozenset(), [1])
    assert kept.plan_id in progress.open[1]
    desk = JobDesk(job(stocked, kept), lambda of: of.going_on(progress.open[1], 1))
    said = typed_through(desk, until="Mix bucket 2?")
    assert "Mix bucket 2?" in said
    assert len(batches(stocked)) == 1
    journal = Journal.open_reading(stocked)
    assert progress_of(journal, kept).finished == {1}
    journal.close()
    said = typed_through(JobDesk(job(stocked, kept, (1,)), lambda of: of.mixing(2)))
    assert words.ALL_DONE.format(count=2, plan_id=kept.plan_id) in said
    assert len(batches(stocked)) == 2


def press(desk: JobDesk, pressed: str = "enter", typed: str = "") -> View:
    """Answer what is asked and wait for what comes of it."""
    before = desk.view()
    desk.answer(Answer(question=before.question.ident, pressed=pressed, typed=typed))
    until(lambda: desk.view().ended or desk.view().question.ident != before.question.ident)
    return desk.view()


def number_of(view: View, line: str) -> str:
    return str(next(choice.number for choice in view.question.choices if line in choice.words))


def test_a_discarded_bucket_is_offered_again_and_draws_what_went_in(stocked: Path) -> None:
    before = on_hand(stocked)
    planned(stocked, until="White cement")
    kept = kept_now(stocked)
    (batch_id,) = batches(stocked)
    desk = JobDesk(job(stocked, kept), lambda of: of.going_on(batch_id, 1))
    press(desk, typed=number_of(press(desk, "trouble"), "discard"))
    press(desk, typed="1")
    view = press(desk)
    assert view.question.ask == words.AGAIN_ASK.format(done=1, count=2, number=1)
    view = press(desk, "later")
    assert view.ended
    assert view.parting == words.NEXT_LATER.format(number=1, plan_id=kept.plan_id)
    desk.stop()
    # Water and plasticiser were in.
    after = on_hand(stocked)
    assert before["plasticiser"] - after["plasticiser"] > 10_000
    assert before["cement"] == after["cement"]


def test_a_plan_kept_for_later_is_mixed_by_its_id(data: Path) -> None:
    said = planned(data, "*")
    kept = kept_now(data)
    assert words.KEPT.format(plan_id=kept.plan_id) in said
    assert (data / "plans" / f"{kept.plan_id}.html").read_text("utf-8").startswith("<!DOCTYPE html>")
    assert not (data / "journal.sqlite3").exists()
    again = find_kept(data / "plans", kept.plan_id[-4:])
    said = typed_through(JobDesk(job(data, again), lambda of: of.mixing(1)), until="Mix bucket 2?")
    assert words.NEXT_ASK.format(done=1, count=2, number=2) in said
    (entries,) = batches(data).values()
    assert entries[0].fact.recipe == kept.buckets[0].recipe  # type: ignore[union-attr]


def test_a_bench_in_use_leaves_the_plan_on_screen_and_says_why(data: Path) -> None:
    data.mkdir(parents=True)
    other = Journal.open(data)
    try:
        said = planned(data, "", until="Weigh out and mix")
    finally:
        other.close()
    assert "is using these records" in said
    assert kept_now(data).plan_id
