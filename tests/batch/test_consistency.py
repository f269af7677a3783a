"""Advice on how the mix moves: the trade's order, one step at a time, and nothing past a limit. Common practice."""

from dataclasses import replace
from fractions import Fraction

import pytest

from mixstation.batch.consistency import Remedy, remedy
from mixstation.batch.events import ConsistencyJudged, Entry, StepDone, StepSkipped, TimerStarted, WayTaken
from mixstation.batch.run import Run, apply
from mixstation.batch.targets import dose_now, project, water_ratio
from mixstation.recipe.model import MixStep, Recipe, RestStep
from mixstation.units.show import DisplayUnits
from mixstation.wording.remedies import remedy_line
from mixstation.wording.words import Speech
from tests.batch.making import SPEECH
from tests.batch.recipes import with_material
from tests.batch.ways.bucket import BLEND, BLEND_KG, RAW, RAW_KG, STAMP, begin, limits, told, weighed, work

DIVISIONS = {
    "water": 10_000,
    "cement": 10_000,
    "pozzolan": 10_000,
    "sand": 10_000,
    "blend": 10_000,
} | dict.fromkeys(("polymer", "plasticiser", "pigment", "fibre"), 1_000)


def at_release(recipe: Recipe = RAW) -> Run:
    """All mixed but the held-back water and the fibre."""
    run = begin(recipe, RAW_KG if recipe is not BLEND else BLEND_KG)
    return work(run, limits(run).divisions_mg, until="release")


def with_rest(recipe: Recipe) -> Recipe:
    """A rest after the scraping, before the held-back water."""
    place = [step.key for step in recipe.steps].index("scrape") + 1
    rest = RestStep(key="rest", min_s=180, max_s=300)
    return replace(recipe, steps=(*recipe.steps[:place], rest, *recipe.steps[place:]))


def taken(run: Run, found: Remedy) -> Run:
    """Do as told: it goes in, and is mixed."""
    run = weighed(run, found.material, found.mass_mg, None)
    return told(run, TimerStarted(step="release"))


def order_of(run: Run) -> list[str]:
    """Codes of one remedy after the other, each done as told, until there is no more."""
    codes = []
    for _ in range(100):
        found = remedy(run, "too-stiff", DIVISIONS)
        if not codes or codes[-1] != found.code:
            codes.append(found.code)
        if not found.mass_mg:
            return codes
        run = taken(run, found)
    raise AssertionError("no end")


def test_too_stiff_goes_through_the_trades_order() -> None:
    assert order_of(at_release()) == ["held-back-water", "plasticiser", "water-to-limit", "stop"]


@pytest.mark.parametrize(("seconds", "found"), [(2, "mix-first"), (26, "mix-first"), (27, "held-back-water")])
def test_held_back_water_has_its_mixing_before_more_is_asked_for(seconds: int, found: str) -> None:
    run = told(weighed(at_release(), "water", 50_000, "release"), TimerStarted(step="release"))
    judged = Entry(
        seq=len(run.entries) + 1,
        stamp=replace(STAMP, mono_ms=seconds * 1000),
        fact=ConsistencyJudged(step="release", verdict="too-stiff", figure=None),
    )
    advised = remedy(apply(run, judged), "too-stiff", DIVISIONS)
    assert advised.code == found
    assert found != "mix-first" or advised.mix_s == 30 - seconds


def test_without_plasticiser_the_held_back_water_comes_first() -> None:
    assert order_of(at_release(BLEND)) == ["held-back-water", "water-to-limit", "stop"]


def test_no_step_passes_a_limit() -> None:
    run = at_release()
    for _ in range(100):
        found = remedy(run, "too-stiff", DIVISIONS)
        if not found.mass_mg:
            break
        assert found.mass_mg > 0
        assert found.mass_mg % DIVISIONS[found.material] == 0
        assert found.room_mg >= 0
        run = taken(run, found)
        plasticiser = dose_now(RAW, RAW.material("plasticiser"), run.content)
        assert plasticiser is not None
        assert plasticiser <= Fraction(10, 1000)
        ratio, expanded = water_ratio(RAW, run.content), project(run, DIVISIONS["water"]).expanded
        assert ratio is not None
        assert ratio + Fraction(expanded) <= RAW.water.most
    assert float(ratio) + expanded == pytest.approx(float(RAW.water.most), abs=0.002)


def test_before_anything_is_in_there_is_nothing_to_mix() -> None:
    assert remedy(begin(RAW, RAW_KG), "right", DIVISIONS).code == "go-on"


def test_a_dry_plasticiser_brings_no_water_and_goes_up_to_its_own_limit() -> None:
    """As powder: the water it does not bring bounds nothing. The recipe's band ends at 10 thousandths of the binder."""
    dry = with_material(RAW, "plasticiser", water_fraction=Fraction(0))
    run = at_release(dry)
    room_mg = Fraction(10, 1000) * 6_600_000 - run.content["plasticiser"]
    found = remedy(told(run, StepDone(step="release")), "too-stiff", DIVISIONS)
    assert (found.code, found.material) == ("plasticiser", "plasticiser")
    assert 0 <= room_mg - found.mass_mg - found.room_mg < DIVISIONS["plasticiser"]


def test_what_is_not_mixed_in_is_mixed_before_it_is_judged() -> None:
    run = weighed(at_release(), "water", 50_000, "release")
    for verdict in ("too-stiff", "too-loose", "right"):
        assert remedy(run, verdict, DIVISIONS).code == "mix-first"  # type: ignore[arg-type]


def test_a_rest_the_recipe_wants_comes_before_judging_and_a_mixing_after_it() -> None:
    run = begin(with_rest(RAW), RAW_KG)
    run = work(run, limits(run).divisions_mg, until="rest")
    assert remedy(run, "too-stiff", DIVISIONS) == Remedy(code="rest-first", rest_s=180, mix_s=30)
    rested = told(run, StepDone(step="rest"))
    assert remedy(rested, "too-stiff", DIVISIONS).code == "remix-first"
    assert (
        remedy(told(rested, TimerStarted(step="release")), "too-stiff", DIVISIONS).code == "held-back-water"
    )
    hurried = told(run, StepSkipped(step="rest", reason="in a hurry"))
    assert remedy(hurried, "too-stiff", DIVISIONS).code == "held-back-water"


def test_stiff_and_warm_or_stiff_and_late_is_discarded() -> None:
    run = at_release()
    assert remedy(run, "stiff-and-warm", DIVISIONS) == Remedy(code="discard")
    assert remedy(run, "too-stiff", DIVISIONS, past_time=True) == Remedy(code="discard")
    assert remedy(run, "right", DIVISIONS, past_time=True).code == "go-on"


def test_right_takes_nothing_more() -> None:
    assert remedy(at_release(), "right", DIVISIONS) == Remedy(code="go-on")


def test_too_loose_keeps_water_back_then_waits_then_looks_for_a_way_out() -> None:
    assert remedy(at_release(), "too-loose", DIVISIONS).code == "hold-water"
    run = begin(RAW, RAW_KG)
    done = work(run, limits(run).divisions_mg, until="fibre-100")
    assert remedy(told(done, TimerStarted(step="release")), "too-loose", DIVISIONS).code == "wait"
    wet = weighed(done, "water", 400_000, None)
    assert remedy(told(wet, TimerStarted(step="release")), "too-loose", DIVISIONS).code == "ways-out"


def test_too_loose_with_all_the_water_in_there_is_none_to_hold_back() -> None:
    """The release is still to come, but a gram more than it would bring is in; the ratio is inside its band."""
    run = at_release()
    rest = project(run).totals["water"] - run.content["water"]
    run = weighed(run, "water", round(rest) + 1000, None)
    ratio = project(run).ratio
    assert ratio is not None
    assert RAW.water.target < ratio < RAW.water.most
    run = told(run, TimerStarted(step="release"))
    assert remedy(run, "too-loose", DIVISIONS).code == "wait"


def test_plasticiser_not_in_yet_goes_in_whole() -> None:
    run = begin(RAW, RAW_KG)
    run = work(run, limits(run).divisions_mg, until="plasticiser-100")
    found = remedy(run, "too-stiff", DIVISIONS)
    assert (found.code, found.material, found.mass_mg) == ("plasticiser", "plasticiser", 40_000)


def test_every_remedy_has_its_sentence() -> None:
    run = at_release()
    seen = {
        remedy_line(
            Remedy(code=code, material="water", mass_mg=90_000, mix_s=30, rest_s=120),
            run,
            Speech(units=units, division_mg=1000),
        )
        for code in Remedy.__annotations__["code"].__args__
        for units in DisplayUnits
    }
    assert all(line.endswith(".") and "  " not in line for line in seen)
    assert len(seen) >= 12
    all_in = work(run, limits(run).divisions_mg, until="fibre-100")
    first = remedy(told(all_in, TimerStarted(step="release")), "too-stiff", DIVISIONS)
    assert remedy_line(first, run, SPEECH) == (
        "Add 4 g Plasticiser and mix 15 s before any more water, then judge again; 22 g more may follow."
    )


def test_with_fibres_in_the_bucket_the_paddle_turns_slowly() -> None:
    run = at_release()
    assert "slowly" not in remedy_line(remedy(run, "too-stiff", DIVISIONS), run, SPEECH)
    fibred = told(weighed(run, "fibre", 300_000, None))
    line = remedy_line(remedy(fibred, "too-stiff", DIVISIONS), fibred, SPEECH)
    assert line == "Not all is mixed in yet: mix slowly 30 s, then judge again."


@pytest.mark.parametrize("fibres", [False, True])
def test_a_ways_own_mixing_is_slow_only_with_fibres_in(fibres: bool) -> None:
    run = at_release()
    run = told(weighed(run, "fibre", 300_000, None)) if fibres else run
    way = WayTaken(
        way="grow", aim=run.aim, pour_back_mg=0, scoop_mg=0, make_up=(), mix_s=60, gives_up=(), said="grow"
    )
    step = told(run, way).step
    assert isinstance(step, MixStep)
    assert step.speed == ("slow" if fibres else "fast")


def test_a_mixing_begun_and_not_ended_has_mixed_nothing_in() -> None:
    run = begin(RAW, RAW_KG)
    run = work(run, limits(run).divisions_mg, until="mix-2")
    begun = told(run, TimerStarted(step="mix-2"))
    assert remedy(begun, "too-stiff", DIVISIONS) == Remedy(code="mix-first", mix_s=30)
