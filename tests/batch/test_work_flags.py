"""How the work is done: wall scraped before fibres, the plasticiser's turn, times and temperatures kept."""

import pytest

from mixstation.batch.commands import (
    BookExtra,
    BringForward,
    DoneStep,
    Judge,
    NoteTemperature,
    Pause,
    SkipStep,
    StartTimer,
    TakeUp,
)
from mixstation.recipe.model import MixStep
from tests.batch.making import Bench, blend, clouded, raw, values_of, weight
from tests.batch.recipes import g, kg


def left_out(bench: Bench, *keys: str) -> Bench:
    for key in keys:
        bench.goes_to(key)
        bench.does(SkipStep(reason="no time"))
    return bench


def test_fibres_onto_a_scraped_wall_are_right() -> None:
    bench = blend().goes_through()
    assert not {code for code, _ in bench.seen} & {"scrape-first", "fibres-unscraped", "scrape-skipped"}


def test_a_scraping_left_out_stands_until_the_wall_is_scraped() -> None:
    bench = left_out(blend(), "scrape-1")
    assert bench.flags["scrape-skipped"].about == "scrape-1"
    bench.goes_to("rest")
    assert bench.codes == set()


def test_powder_added_late_wants_another_scraping() -> None:
    bench = blend().goes_to("fibre")
    bench.does(BookExtra(material="blend", weight=weight(g(100)), reason="too loose"))
    assert "scrape-first" in bench.codes
    bench.pours()
    assert "fibres-unscraped" in bench.codes
    assert "scrape-first" not in bench.codes


def test_powder_after_the_fibres_is_not_fibres_onto_powder() -> None:
    bench = blend().goes_to("fold")
    bench.does(BookExtra(material="blend", weight=weight(g(100)), reason="too loose"))
    assert bench.codes == set()


def test_pigment_is_no_powder_on_the_wall() -> None:
    bench = clouded().goes_to("fibre")
    bench.does(BookExtra(material="slate", weight=weight(g(5)), reason="early"))
    assert "scrape-first" not in bench.codes


@pytest.mark.parametrize(("seconds", "code"), [(56, "mix-short"), (57, None), (94, None), (95, "mix-long")])
def test_mixing_between_least_and_most(seconds: float, code: str | None) -> None:
    bench = blend().goes_to("mix-1")
    bench.mixes(seconds, confirmed=True)
    assert bench.codes == ({code} if code else set())


@pytest.mark.parametrize(
    ("seconds", "code"), [(170, "rest-short"), (171, None), (315, None), (316, "rest-long")]
)
def test_resting_between_least_and_most(seconds: float, code: str | None) -> None:
    bench = blend().goes_to("rest")
    bench.rests(seconds, confirmed=True)
    assert bench.codes == ({code} if code else set())


@pytest.mark.parametrize(("over_s", "stands"), [(41, True), (42, False)])
def test_a_short_mix_is_mended_by_a_later_one_that_brings_its_missing_time(over_s: int, stands: bool) -> None:
    bench = blend().goes_to("mix-1")
    bench.mixes(18, confirmed=True)
    bench.goes_to("mix-2")
    step = bench.run.step
    assert isinstance(step, MixStep)
    bench.mixes(step.min_s + over_s, confirmed=True)
    assert (("mix-short", "mix-1") in {(flag.code, flag.about) for flag in bench.flags.values()}) == stands


def test_too_long_is_grave_while_it_goes_on_and_a_note_afterwards() -> None:
    bench = blend().goes_to("fold")
    bench.does(StartTimer())
    bench.hands.go(80)
    assert bench.flags["mix-long"].gravity == "warn"
    bench.does(DoneStep())
    assert bench.flags["mix-long"].gravity == "note"


def test_too_long_at_a_release() -> None:
    bench = blend().goes_to("release")
    bench.releases(times=1)
    bench.does(StartTimer())
    bench.hands.go(80)
    assert values_of(bench.flags["mix-long"]) == {
        "took_s": 80,
        "min_s": 25,
        "max_s": 75,
        "ended": False,
        "fibres_in": False,
    }


def test_the_plasticiser_that_was_mixed_in_is_no_bar_to_water() -> None:
    bench = raw().goes_through()
    assert not any(code.startswith(("plasticiser", "mix-plasticiser")) for code, _ in bench.seen)


@pytest.mark.parametrize(("seconds", "stands"), [(8, True), (9, False)])
def test_ten_seconds_let_it_act(seconds: int, stands: bool) -> None:
    """A second passes before each command."""
    bench = raw().goes_to("release")
    bench.does(BookExtra(material="plasticiser", weight=weight(g(4)), reason="crumbs"))
    assert "mix-plasticiser-first" in bench.codes
    bench.does(StartTimer())
    bench.hands.go(seconds)
    bench.does(Judge(verdict="too-stiff"))
    assert ("mix-plasticiser-first" in bench.codes) == stands


def test_water_before_it_acted_stands_until_it_has() -> None:
    bench = raw().goes_to("release")
    bench.does(BookExtra(material="plasticiser", weight=weight(g(4)), reason="crumbs"))
    bench.does(Judge(verdict="too-stiff"))
    bench.pours()
    assert "plasticiser-not-acted" in bench.codes
    bench.does(StartTimer())
    bench.hands.go(25)
    bench.does(Judge(verdict="right"))
    assert not bench.codes & {"plasticiser-not-acted", "mix-plasticiser-first", "plasticiser-first"}


def test_resting_is_not_mixing() -> None:
    bench = raw().goes_to("rest")
    bench.does(BookExtra(material="plasticiser", weight=weight(g(4)), reason="crumbs"))
    bench.rests(200)
    bench.does(SkipStep(reason="loose already"))
    bench.goes_to("release")
    assert "mix-plasticiser-first" in bench.codes


def test_a_plasticiser_never_in_is_asked_for_before_water_is_let_in() -> None:
    bench = raw().goes_to("plasticiser")
    bench.does(BringForward(step="release"))
    assert "plasticiser-first" in bench.codes
    bench = left_out(raw(), "plasticiser").goes_to("release")
    assert "plasticiser-first" not in bench.codes
    assert "dose-missing" in bench.codes


def test_before_the_mix_is_taken_the_shop_tells_of_the_polymer() -> None:
    assert values_of(raw(shop_c=6.5).flags["polymer-cold"]) == {"mix_c": 6.5, "least_c": 10.0}
    assert raw(shop_c=None).codes == set()
    assert raw(shop_c=10.0).codes == set()


def test_temperatures_are_held_to_the_steps_bounds_once_taken_there() -> None:
    bench = blend()
    bench.does(NoteTemperature(mix_milli_c=33_000, shown=""))
    assert bench.codes == set()
    bench.goes_to("temperature")
    for milli_c, code in ((11_999, "mix-cold"), (12_000, None), (28_000, None), (28_001, "mix-warm")):
        bench.does(NoteTemperature(mix_milli_c=milli_c, shown=""))
        assert bench.codes - {"time-near"} == ({code} if code else set())


def test_out_of_order_is_a_note_on_each_step_brought_forward() -> None:
    bench = blend()
    bench.does(BringForward(step="blend-1"))
    bench.pours(kg(9))
    assert (bench.flags["out-of-order"].gravity, bench.flags["out-of-order"].about) == ("note", "blend-1")


def let_in(seconds: float | None) -> Bench:
    """One increment of held-back water, mixed so long (25 s are wanted) before it is judged again."""
    bench = blend().goes_to("release")
    bench.does(Judge(verdict="too-stiff"))
    bench.pours()
    if seconds is not None:
        bench.does(StartTimer())
        bench.hands.go(seconds - 1)
    bench.does(Judge(verdict="too-stiff"))
    return bench


@pytest.mark.parametrize(("seconds", "took_s"), [(None, 0), (10, 10), (21, 21), (22, None), (60, None)])
def test_water_let_in_is_mixed_in_before_it_is_judged(seconds: float | None, took_s: int | None) -> None:
    bench = let_in(seconds)
    found = [
        (flag.about, values_of(flag)["took_s"]) for flag in bench.flags.values() if flag.code == "mix-short"
    ]
    assert found == ([] if took_s is None else [("release", took_s)])


def test_the_next_water_mixed_long_enough_mends_a_mixing_too_short() -> None:
    bench = let_in(5)
    bench.pours()
    assert "mix-short" not in bench.codes
    bench.does(StartTimer())
    bench.hands.go(25)
    bench.does(Judge(verdict="right"))
    assert "mix-short" not in bench.codes
    bench.goes_through()
    assert "mix-short" not in bench.codes


def test_a_mixing_of_water_too_short_stays_when_it_was_the_last() -> None:
    bench = let_in(5)
    bench.does(SkipStep(reason="moves right by now"))
    bench.goes_through()
    assert bench.flags["mix-short"].about == "release"


def test_the_time_away_is_no_mixing_of_the_water() -> None:
    bench = blend().goes_to("release")
    bench.does(Judge(verdict="too-stiff"))
    bench.pours()
    bench.does(StartTimer())
    bench.does(Pause(reason="telephone"))
    bench.hands.go(60)
    bench.does(TakeUp())
    bench.does(Judge(verdict="right"))
    assert "mix-short" in bench.codes


def test_mixing_left_out_with_powder_on_the_wall_is_no_scraping_left_out() -> None:
    bench = left_out(blend(), "mix-1")
    assert bench.step == "scrape-1"
    assert "scrape-skipped" not in bench.codes


def test_a_mix_too_long_before_any_fibres_frayed_none() -> None:
    """What a mixing did is told of its own moment: fibres weighed in later were not in it."""
    bench = blend().goes_to("mix-1")
    bench.mixes(150)
    bench.goes_through()
    assert bench.run.fibres_in
    assert values_of(bench.flags["mix-long"])["fibres_in"] is False
    late = blend().goes_to("fold")
    late.mixes(150)
    assert values_of(late.flags["mix-long"])["fibres_in"] is True


def test_powder_that_came_after_a_scraping_left_out_was_not_on_the_wall_then() -> None:
    bench = blend().goes_to("scrape-1")
    bench.does(SkipStep(reason="forgot"))
    assert "scrape-skipped" in bench.codes
    clean = blend()
    clean.does(BringForward(step="scrape-1"))
    clean.does(SkipStep(reason="nothing in yet"))
    clean.goes_to("mix-1")
    assert "scrape-skipped" not in clean.codes
