"""The tables in the README are what the command would write now."""

import re

import pytest

from mixstation.batch.events import WeightRecorded
from mixstation.batch.refusal import AskedOnce
from tests.batch.follow import next_command
from tests.mishaps.happened import BLEND, MIXES, PLAIN, Mishap, Mix, bench_for
from tests.mishaps.page import BEGIN, END, README, mishaps, rewritten, told

CASES = [(mix, mishap) for mix in MIXES for mishap in mix.mishaps]
ASKED_ABOUT = {"90 g of rinsing water were in the bucket": "bucket-differs"}


def test_the_readme_holds_what_the_command_writes() -> None:
    readme = README.read_text(encoding="utf-8")
    assert rewritten(readme) == readme, "run: python -m tests.mishaps"


def test_writing_twice_is_writing_once() -> None:
    once = rewritten(f"above\n{BEGIN}\nas it was\n{END}\nbelow\n")
    assert rewritten(once) == once
    assert once.startswith("above\n")
    assert once.endswith("\nbelow\n")
    assert "as it was" not in once


@pytest.mark.parametrize("marks", ["", BEGIN, END, END + BEGIN, BEGIN + END + END])
def test_a_readme_without_its_marks_is_left_alone(marks: str) -> None:
    with pytest.raises(ValueError, match="wanted one"):
        rewritten(f"above\n{marks}\nbelow\n")


def test_what_is_asked_about_is_among_them() -> None:
    assert ASKED_ABOUT.keys() <= {mishap.what for _, mishap in CASES}


def test_every_row_has_its_three_cells() -> None:
    rows = [line for line in mishaps().splitlines() if line.startswith("|")]
    assert len(rows) == len(CASES) + 2 * len(MIXES)
    assert {line.replace("\\|", "").count("|") for line in rows} == {4}


@pytest.mark.parametrize("mix", MIXES, ids=[mix.recipe for mix in MIXES])
def test_the_plan_above_a_table_is_what_the_bucket_is_then_asked_for(mix: Mix) -> None:
    bench = bench_for(mix, PLAIN)
    while not bench.run.ended:
        bench.does(next_command(bench))
    asked_g: dict[str, float] = {}
    for entry in bench.run.live:
        if (
            isinstance(fact := entry.fact, WeightRecorded)
            and not bench.run.recipe.material(fact.material).is_powder
        ):
            asked_g[fact.material] = asked_g.get(fact.material, 0.0) + fact.mass_mg / 1000
    heading = next(
        line
        for line in README.read_text(encoding="utf-8").splitlines()
        if line.startswith(f"**{mix.heading}")
    )
    printed = re.findall(r"([\d.]+) (kg|g) of (\w+)", heading.partition("the plan is ")[2])
    printed_g = {name: float(number) * (1000 if unit == "kg" else 1) for number, unit, name in printed}
    assert asked_g.keys() == printed_g.keys()
    assert asked_g == pytest.approx(printed_g, abs=1.01)


@pytest.mark.parametrize(("mix", "mishap"), CASES, ids=[mishap.what for _, mishap in CASES])
def test_it_says_what_the_trade_would(mix: Mix, mishap: Mishap) -> None:
    """By the key phrases of the list of mishaps; source: common practice, no source."""
    said, ways = told(mix, mishap)
    assert mishap.says in said
    assert bool(ways) == bool(mishap.best)
    if ways:
        assert ways[0].startswith(f"1. {mishap.best}")
        kinds = {way.partition(" ")[2].partition(" ")[0] for way in ways}
        assert "Discard" in kinds
        # A way that goes on as it stands is leaving it.
        assert kinds & {"Leave", "Go", "Make"}


def first_grams(mix: Mix, what: str, pattern: str) -> list[float]:
    """The numbers of a pattern in a mishap's ways, in grams."""
    (mishap,) = (mishap for mishap in mix.mishaps if mishap.what == what)
    found = [re.search(pattern, way) for way in told(mix, mishap)[1]]
    return [float(hit[1]) * (1000 if hit[2] == "kg" else 1) for hit in found if hit is not None]


def test_figures_worked_by_hand() -> None:
    """1.2 kg of water at 0.130 wants 9.231 kg of blend, at the band's end of 0.138 it wants 8.696 kg; 8 kg are in.

    Pouring back is to the first share, 0.8 × 0.130 × 8 kg; fibre is aimed at 2.8 % of the whole.
    """
    back = first_grams(
        BLEND, "1.2 kg of water, more than the whole; nothing else is in", r"Pour ([\d.]+) (g|kg)"
    )
    assert back == [1200 - 832]
    powder = first_grams(BLEND, "The same, noticed with all the blend in", r"Add ([\d.]+) (g|kg) White")
    assert powder[:2] == pytest.approx([1230.8, 695.7], abs=10)
    wet = 1040 + 8000 + 330
    more = [
        sum(first_grams(BLEND, "330 g of fibre", pattern)[:1])
        for pattern in (r"Mix ([\d.]+) (g|kg) Water", r"([\d.]+) (g|kg) White")
    ]
    assert 330 / (wet + sum(more)) == pytest.approx(0.028, abs=1e-4)


@pytest.mark.parametrize(("mix", "mishap"), CASES, ids=[mishap.what for _, mishap in CASES])
def test_one_is_asked_about_at_the_scale_and_left_as_it_is_each_can_be_gone_on_with_and_closed(
    mix: Mix, mishap: Mishap
) -> None:
    bench = bench_for(mix, mishap)
    entries = len(bench.run.entries)
    refusal = mishap.happens(bench)
    assert (refusal and refusal.code) == ASKED_ABOUT.get(mishap.what)
    assert refusal is None or isinstance(refusal, AskedOnce)
    assert len(bench.run.entries) > entries
    for _ in range(200):
        if bench.run.ended:
            break
        bench.does(next_command(bench))
    assert bench.run.ended == "finished"
