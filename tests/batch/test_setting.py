"""A mix that sets, or is found stiff past its time, is asked for no water; what went in all the same is a fact.

Source: common practice, no source: a mix that stiffens is never thinned anew.
"""

import pytest

from mixstation.batch.advice import Advice, advise, stand
from mixstation.batch.commands import (
    Book,
    BookExtra,
    ChangeWeighing,
    Command,
    FillTub,
    Judge,
    SkipStep,
    StartTimer,
    TakeReference,
    TakeWay,
)
from mixstation.batch.events import ReferenceTaken
from mixstation.batch.ways import limits_of, ways_out
from mixstation.wording.asks import SETS, asked
from mixstation.wording.flag_lines import flag_line
from tests.batch.making import SPEECH, Bench, blend, raw, weight
from tests.batch.recipes import g, kg

# The blend's recipe has 30 min at 20 °C: the earlier estimate is 24 min after the first water.
PAST_S = 24 * 60


def stiff(bench: Bench | None = None) -> Bench:
    """Found too stiff in good time, with water still held back: it is asked for."""
    bench = (bench or blend()).goes_to("judge")
    bench.does(Judge(verdict="too-stiff"))
    assert bench.advice.standing.phase in ("pour", "tub-fill")
    assert bench.dosing.target_mg > 0
    return bench


def late(bench: Bench) -> Bench:
    bench.hands.go(PAST_S)
    return bench


def asks_for_no_water(advice: Advice) -> bool:
    standing = advice.standing
    words = asked(standing, reference=True, has_scale=True, speech=SPEECH)
    masses = [mass for step, mass in standing.coming if getattr(step, "material", "") == "water"]
    return (
        advice.sets
        and standing.phase == "setting"
        and standing.dosing is None
        and words.ask == SETS
        and words.enter == "place it at once"
        and not any(masses)
        and standing.projection.finals["water"] == standing.run.content["water"]
    )


def test_a_pour_left_standing_until_past_the_time_asks_for_no_water() -> None:
    bench = stiff()
    assert not asks_for_no_water(bench.advice)
    assert asks_for_no_water(late(bench).advice)


def test_a_tub_filled_and_left_standing_is_not_tipped_in() -> None:
    bench = blend().goes_to("judge")
    bench.does(ChangeWeighing(weighing="tub"))
    stiff(bench).does(FillTub(weight=weight(bench.dosing.target_mg)))
    assert bench.advice.standing.phase == "tub-tip"
    assert asks_for_no_water(late(bench).advice)


def test_stiff_and_warm_asks_nothing_about_the_water_held_back() -> None:
    bench = blend().goes_to("judge")
    bench.does(Judge(verdict="stiff-and-warm"))
    assert asks_for_no_water(bench.advice)


def test_judged_past_the_time_it_asks_for_no_water() -> None:
    bench = late(blend().goes_to("release"))
    assert bench.advice.standing.phase == "release-rest"
    assert not bench.advice.sets
    bench.does(Judge(verdict="too-stiff"))
    assert asks_for_no_water(bench.advice)


def test_the_time_goes_by_the_earlier_estimate() -> None:
    bench = stiff()
    first = bench.run.first_water
    assert first is not None
    early = bench.hands.moment().boot_ms - first.boot_ms
    bench.hands.go(PAST_S - 1 - early / 1000)
    assert not bench.advice.sets
    bench.hands.go(1)
    assert bench.advice.sets


def test_water_that_is_in_is_still_mixed_in() -> None:
    bench = stiff()
    bench.pours()
    assert late(bench).advice.standing.phase == "release-start-mixing"
    bench.does(StartTimer())
    assert bench.advice.standing.phase == "release-mixing"


def test_judged_right_after_all_it_goes_on_and_too_loose_does_not_set() -> None:
    for verdict in ("right", "too-loose"):
        bench = late(stiff())
        bench.does(Judge(verdict=verdict))
        assert (bench.advice.sets, bench.standing.phase) == (False, "release-rest")


@pytest.mark.parametrize(
    "command",
    [
        Book(weight=weight(g(100)), confirmed=True),
        FillTub(weight=weight(g(100))),
        TakeReference(gross_mg=kg(20), division_mg=1000, confirmed=True),
    ],
)
def test_nothing_is_weighed_in_but_what_went_in_is_a_fact(command: Command) -> None:
    bench = late(stiff())
    assert bench.refuses(command).code == "sets"
    before = bench.run.content["water"]
    bench.does(BookExtra(material="water", weight=weight(g(100)), reason="poured late", confirmed=True))
    assert bench.run.content["water"] == before + g(100)


def test_placed_at_once_it_goes_on_as_it_was_said_it_would() -> None:
    bench = late(stiff())
    said = bench.advice.standing
    bench.does(SkipStep(reason="no more water"))
    assert bench.advice.standing.projection == said.projection
    assert bench.run.step == said.coming[1][0]
    bench.goes_through()


def test_water_topped_up_by_a_way_out_is_not_asked_for_either() -> None:
    bench = blend().goes_to("fibre")
    bench.does(BookExtra(material="blend", weight=weight(kg(2)), reason="slip"))
    way = next(way for way in _ways(bench) if any(amount.material == "water" for amount in way.additions))
    bench.does(TakeWay(way=way, said="grow"))
    bench.does(Judge(verdict="too-stiff"))
    assert bench.dosing.material == "water"
    assert asks_for_no_water(late(bench).advice)


def test_a_way_worked_out_before_is_not_gone_any_more() -> None:
    bench = stiff()
    bench.does(BookExtra(material="water", weight=weight(g(900)), reason="slip", confirmed=True))
    ways = _ways(bench)
    late(bench)
    kinds = {way.kind: way for way in ways}
    assert bench.refuses(TakeWay(way=ways[0], said="grow")).code == "sets"
    bench.does(TakeWay(way=kinds["leave"], said="leave it"))


def test_what_was_poured_before_the_time_was_up_is_still_weighed() -> None:
    bench = stiff()
    bench.tell(ReferenceTaken(step="release", weighing="bucket", gross_mg=kg(22), division_mg=1000))
    bench.shows(kg(22) + g(40))
    net = late(bench).advice.net
    assert net is not None
    assert (net.net_mg, net.place, net.cue) == (g(40), "over", "")


@pytest.mark.parametrize(
    ("verdict", "seconds"), [("stiff-and-warm", 0), ("too-stiff", PAST_S), ("right", PAST_S)]
)
def test_no_flag_advises_adding_to_a_mix_past_its_time(verdict: str, seconds: int) -> None:
    bench = blend().goes_to("release")
    bench.does(Judge(verdict="right"))
    bench.does(SkipStep(reason="right without it"))
    bench.goes_to("fibre").does(SkipStep(reason="no time"))
    bench.does(Judge(verdict="too-stiff"))
    before = {code: flag_line(bench.run, flag, SPEECH) for code, flag in bench.flags.items()}
    assert "Add water" in before["water-under"]
    assert "Press a (pad: * 2) to add" in before["dose-missing"]
    bench.does(Judge(verdict=verdict))  # type: ignore[arg-type]
    bench.hands.go(seconds)
    after = {code: flag_line(bench.run, flag, SPEECH) for code, flag in bench.flags.items()}
    ended = before["water-under"].removesuffix(
        " Add water in small steps if the mix is too stiff and still fresh."
    )
    judged = " You judged it right; a stiffer mix compacts and bonds worse."
    assert after["water-under"] == ended + (judged if verdict == "right" else "")
    assert after["dose-missing"] == "No Fibre went in."


def test_no_flag_puts_plasticiser_before_more_water_past_the_time() -> None:
    bench = raw().goes_to("release")
    bench.does(BookExtra(material="plasticiser", weight=weight(g(5)), reason="more"))
    said = flag_line(bench.run, bench.flags["mix-plasticiser-first"], SPEECH)
    assert said.endswith("before more water.")
    said = flag_line(bench.run, late(late(bench)).flags["mix-plasticiser-first"], SPEECH)
    assert "water" not in said


def test_without_a_judgement_nothing_else_stands_ready() -> None:
    assert stand(blend().goes_to("release").run, 1000).if_sets is None
    bench = stiff()
    assert advise(bench.standing, bench.hands.moment(), None).standing is bench.standing


def _ways(bench: Bench) -> tuple:  # type: ignore[type-arg]
    limits = limits_of(bench.run, dict.fromkeys(bench.run.content, 1000), 600, stiffening=False)
    return ways_out(bench.run, limits)
