"""A remedy taken is done like any step: weighed in, mixed, judged anew. The order of remedies: common practice."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import islice

import pytest

from mixstation.batch.advice import stand
from mixstation.batch.commands import (
    BookExtra,
    FillTub,
    Judge,
    RunOut,
    StartTimer,
    TakeBack,
    TakeRemedy,
    TakeWay,
)
from mixstation.batch.consistency import Remedy, remedy
from mixstation.batch.events import RemedyTaken, TimerStarted, Verdict, WeightRecorded
from mixstation.batch.run import Run
from mixstation.batch.targets import dose_now, project, water_ratio
from mixstation.batch.ways import Limits, limits_of, ways_out
from mixstation.recipe.model import AddStep, ConsistencyStep, MixStep, RestStep
from tests.batch.making import Bench, blend, raw, way, weight
from tests.batch.recipes import RAW, RAW_POWDERS, kg
from tests.batch.ways.chance import batches


def all_in(bench: Bench) -> Bench:
    """All of it in and mixed, before the last judgement."""
    bench.goes_through()
    return bench


def advised(bench: Bench, verdict: Verdict = "too-stiff") -> Remedy:
    """Judge by hand; what is advised then."""
    bench.does(Judge(verdict=verdict))
    return remedy(bench.run, verdict, dict.fromkeys(bench.run.content, bench.division_mg))


def takes(bench: Bench, verdict: Verdict = "too-stiff") -> Remedy:
    """Judge by hand and take what is advised."""
    found = advised(bench, verdict)
    bench.does(TakeRemedy(remedy=found, said="as advised"))
    return found


def kinds(run: Run) -> list[type]:
    return [type(step) for step in run.steps if step.key not in run.finished]


def test_plasticiser_is_weighed_in_mixed_and_judged_anew() -> None:
    bench = all_in(raw())
    aimed, content = bench.run.aim, dict(bench.run.content)
    found = takes(bench)
    assert found.code == "plasticiser"
    assert kinds(bench.run) == [AddStep, MixStep, ConsistencyStep]
    assert bench.dosing.material == "plasticiser"
    assert bench.dosing.target_mg == found.mass_mg
    bench.pours()
    mixing = bench.run.step
    assert isinstance(mixing, MixStep)
    assert (mixing.min_s, mixing.speed) == (15, "slow")
    bench.mixes()
    bench.does(Judge(verdict="right"))
    assert bench.run.step is None
    assert bench.run.content == content | {"plasticiser": content["plasticiser"] + found.mass_mg}
    assert bench.run.aim.water_ratio == aimed.water_ratio
    assert not {"dose-over", "dose-over-cap", "water-over"} & bench.codes


def test_found_too_stiff_again_and_again_it_goes_to_the_limits_and_no_further() -> None:
    """The band of the plasticiser first, then as far as the water can be told to be in its band; by whole grams."""
    bench = all_in(raw())
    codes = []
    for _ in range(60):
        found = advised(bench)
        codes.append(found.code)
        if found.code == "stop":
            break
        bench.does(TakeRemedy(remedy=found, said="as advised"))
        bench.pours()
        bench.mixes()
    assert list(dict.fromkeys(codes)) == ["plasticiser", "water-to-limit", "stop"]
    run, recipe = bench.run, bench.run.recipe
    ratio = water_ratio(recipe, run.content)
    assert ratio is not None
    more = water_ratio(recipe, run.content | {"water": run.content["water"] + 2000})
    assert more is not None
    unsure = Fraction(bench.projection.expanded)
    assert ratio + unsure <= recipe.water.most < more + unsure
    assert not {"water-unsure", "water-over", "dose-over", "dose-over-cap"} & bench.codes


def test_water_to_the_limit_ends_inside_the_band() -> None:
    bench = all_in(blend())
    found = takes(bench)
    assert found.code == "water-to-limit"
    assert bench.dosing.material == "water"
    assert bench.dosing.target_mg == found.mass_mg
    bench.pours()
    ratio = water_ratio(bench.run.recipe, bench.run.content)
    assert ratio is not None
    assert bench.run.recipe.water.target < ratio <= bench.run.recipe.water.most
    assert not any(code.startswith("water") for code in bench.codes)


def test_the_most_that_is_right_leaves_no_doubt_either() -> None:
    bench = all_in(blend())
    takes(bench)
    bench.pours(bench.dosing.high_mg)
    assert bench.run.step is not None
    assert not any(code.startswith("water") for code in bench.codes)


def test_too_loose_with_nothing_held_back_rests_at_once_is_mixed_and_judged() -> None:
    bench = all_in(blend())
    found = takes(bench, "too-loose")
    assert found.code == "wait"
    assert kinds(bench.run) == [RestStep, MixStep, ConsistencyStep]
    rest = bench.run.step
    assert isinstance(rest, RestStep)
    assert rest.key in bench.run.timers
    assert bench.standing.phase == "resting"
    assert rest.min_s == found.rest_s


def test_the_judgement_is_by_the_method_of_the_one_before() -> None:
    bench = raw().goes_to("spread")
    before = bench.run.step
    assert isinstance(before, ConsistencyStep)
    bench.does(Judge(verdict=None, figure=250))
    bench.does(TakeRemedy(remedy=Remedy(code="wait", rest_s=120, mix_s=30), said="let it stand"))
    anew = [step for step in bench.run.steps if isinstance(step, ConsistencyStep) and step != before]
    assert anew == [replace(before, key=anew[0].key)]


def test_taken_back_the_batch_stands_as_it_was() -> None:
    bench = all_in(blend())
    found = advised(bench, "too-loose")
    before = bench.run
    taken, began = bench.does(TakeRemedy(remedy=found, said="let it stand"))
    assert isinstance(taken, RemedyTaken)
    assert isinstance(began, TimerStarted)
    bench.takes_back(len(bench.run.entries) - 1)
    assert (bench.run.steps, bench.run.aim, bench.run.timers) == (before.steps, before.aim, before.timers)


def test_begun_it_is_not_taken_back_before_what_went_in_is() -> None:
    bench = all_in(raw())
    takes(bench)
    seq = len(bench.run.entries)
    bench.pours()
    assert bench.refuses(TakeBack(seq=seq, reason="slip")).code == "way-begun"


@pytest.mark.parametrize(
    "found",
    [
        Remedy(code="go-on"),
        Remedy(code="plasticiser", material="gravel", mass_mg=5_000, mix_s=15),
        Remedy(code="plasticiser", material="cement", mass_mg=5_000, mix_s=15),
        Remedy(code="plasticiser", material="plasticiser", mass_mg=-5_000, mix_s=15),
        Remedy(code="wait", rest_s=-120, mix_s=30),
    ],
)
def test_what_is_no_remedy_changes_nothing(found: Remedy) -> None:
    bench = all_in(raw())
    assert bench.refuses(TakeRemedy(remedy=found, said="x")).code == "way-hindered"


def test_of_what_ran_out_nothing_is_asked_for() -> None:
    bench = all_in(raw())
    found = advised(bench)
    bench.does(RunOut(material=found.material))
    assert bench.refuses(TakeRemedy(remedy=found, said="x")).code == "way-hindered"


def test_nothing_goes_into_a_mix_that_sets() -> None:
    bench = all_in(blend())
    found = advised(bench)
    bench.hands.go(3600)
    assert bench.refuses(TakeRemedy(remedy=found, said="x")).code == "sets"


def judged_too_stiff(seed: int, blends: float = 0.3) -> Iterator[tuple[Bench, Remedy, Limits]]:
    """Batches gone wrong at random and found too stiff, with what is advised, where something is to go in."""
    for run, limits in islice(batches(seed, blends), 150):
        bench = Bench(run=run, division_mg=1000)
        bench.hands.boot_ms = bench.hands.mono_ms = bench.hands.utc_ms = 0
        bench.hands.boot_id = run.entries[-1].stamp.boot_id
        bench.does(Judge(verdict="too-stiff"))
        found = remedy(bench.run, "too-stiff", limits.divisions_mg)
        if found.mass_mg and found.code != "held-back-water":
            yield bench, found, limits


def test_any_batch_is_asked_for_just_what_was_advised_and_no_new_limit_is_passed() -> None:
    seen = set()
    for bench, found, limits in judged_too_stiff(seed=11):
        run, recipe, key = bench.run, bench.run.recipe, found.material
        seen.add((found.code, run.pending(key)))
        before = project(run)
        bench.does(TakeRemedy(remedy=found, said="as advised"))
        dosing = stand(bench.run, limits.divisions_mg[key]).dosing
        assert dosing is not None
        assert (dosing.material, dosing.target_mg) == (key, found.mass_mg)
        is_water, aim, ends = key == recipe.water_key, bench.run.aim, project(bench.run)
        assert (aim.powders, bench.run.kept) == (run.aim.powders, run.kept)
        assert is_water or aim.water_ratio == run.aim.water_ratio
        moved = {dose.material for dose in set(aim.doses) - set(run.aim.doses)}
        assert moved <= (set() if is_water else {key})
        assert ends.ratio is not None
        assert before.ratio is not None
        assert ends.ratio <= max(before.ratio, recipe.water.most)
        dose = recipe.material(key).dose
        ends_at = dose_now(recipe, recipe.material(key), ends.finals)
        if dose is not None and ends_at is not None:
            assert ends_at <= (dose.most or dose.fraction * (1 + recipe.material(key).tolerance.over))
    assert seen >= {("plasticiser", True), ("plasticiser", False), ("water-to-limit", False)}


def test_a_later_step_of_the_same_material_then_asks_for_no_more() -> None:
    """Plasticiser the recipe wants later is brought in whole by the remedy."""
    bench, found, _ = next(
        each for each in judged_too_stiff(seed=5, blends=0.0) if each[0].run.pending("plasticiser")
    )
    assert found.code == "plasticiser"
    bench.does(TakeRemedy(remedy=found, said="as advised"))
    bench.pours()
    asked = {step.key: mass for step, mass in bench.standing.coming}
    assert asked["plasticiser-100"] < 1000


def grown(bench: Bench) -> int:
    """Too much water, then a way out that grows the batch; the entry of the way."""
    bench.does(BookExtra(material="water", weight=weight(kg("0.7")), reason="slip", confirmed=True))
    ways = ways_out(
        bench.run, limits_of(bench.run, dict.fromkeys(bench.run.content, 1000), None, stiffening=False)
    )
    grows = next(each for each in ways if each.kind in ("grow", "powder-only") and not each.hindrances)
    bench.does(TakeWay(way=grows, said="grow"))
    return len(bench.run.entries)


def test_a_way_taken_back_under_a_remedy_steers_no_more() -> None:
    bench = raw().goes_to("cement-2")
    aim = bench.run.aim
    grew = grown(bench)
    assert bench.run.aim.powders != aim.powders
    bench.does(Judge(verdict="too-loose"))
    bench.does(TakeRemedy(remedy=Remedy(code="mix-first", mix_s=30), said="mix on"))
    bench.takes_back(grew)
    assert bench.run.aim == aim


def test_a_rest_and_mixing_done_stay_done_when_a_weighing_before_them_is_taken_back() -> None:
    bench = all_in(blend())
    takes(bench, "too-loose")
    bench.rests()
    bench.mixes()
    bench.does(Judge(verdict="right"))
    done = bench.run.finished
    water = max(
        entry.seq
        for entry in bench.run.live
        if isinstance(entry.fact, WeightRecorded) and entry.fact.material == "water"
    )
    bench.takes_back(water)
    assert {key for key in done if key.startswith("way")} <= bench.run.finished
    assert bench.run.judged is not None
    assert bench.run.judged.verdict == "right"


def test_one_remedy_at_a_time() -> None:
    bench = all_in(raw())
    found = takes(bench)
    assert bench.run.in_remedy
    bench.does(Judge(verdict="too-stiff"))
    assert bench.refuses(TakeRemedy(remedy=found, said="x")).code == "not-through"
    bench.pours()
    bench.mixes()
    bench.does(Judge(verdict="right"))
    assert not bench.run.in_remedy


def test_no_remedy_while_the_paddle_turns_or_a_tub_is_full() -> None:
    wait = TakeRemedy(remedy=Remedy(code="wait", rest_s=120, mix_s=30), said="let it stand")
    bench = blend().goes_to("mix-1")
    bench.does(StartTimer())
    assert bench.refuses(wait).code == "not-through"
    bench = blend(weighing="tub")
    bench.does(FillTub(weight=weight(bench.dosing.target_mg)))
    assert bench.refuses(wait).code == "not-through"
    assert bench.run.tub is not None


def test_no_remedy_before_what_a_way_asks_to_take_out() -> None:
    bench = blend().goes_to("scrape-1")
    bench.tell(way(bench, scoop_mg=500_000))
    wait = TakeRemedy(remedy=Remedy(code="wait", rest_s=120, mix_s=30), said="let it stand")
    assert bench.refuses(wait).code == "take-out-first"


def test_held_back_water_is_the_recipes_own_step() -> None:
    bench = blend().goes_to("release")
    found = Remedy(code="held-back-water", material="water", mass_mg=50_000, mix_s=30)
    assert bench.refuses(TakeRemedy(remedy=found, said="x")).code == "way-hindered"


def test_a_remedy_that_would_be_all_of_the_mix_is_refused() -> None:
    """With nothing in and no powder planned, fibre counted on the whole would be a dose of 1."""
    nothing = Bench.begin(RAW, dict.fromkeys(RAW_POWDERS, 0))
    fibre = next(item.key for item in RAW.materials if item.is_of_total)
    found = Remedy(code="plasticiser", material=fibre, mass_mg=5000, mix_s=15)
    assert nothing.refuses(TakeRemedy(remedy=found, said="so")).code == "way-hindered"
