"""At the screen no water is asked for once the mix sets, whatever was open before.

Source: common practice, no source: a mix that stiffens is never thinned anew.
"""

import pytest

from mixstation.batch.events import BatchDiscarded, StepSkipped, WeightRecorded
from mixstation.scale.emulator import EmulatedScale
from mixstation.station.bench import Settings
from mixstation.station.view import View
from mixstation.wording import menu_lines as words
from mixstation.wording.asks import SETS
from tests.station.mixer import Hand, mix
from tests.station.recipes import quick
from tests.station.view_checks import check
from tests.station.yard import BUCKET_MG, QUIET, Yard

# The recipe has 30 min at 20 °C: the earlier estimate is 24 min after the first water.
PAST_S = 24 * 60


def _judging(yard: Yard, hand: Hand | None = None) -> Yard:
    mix(yard, hand=hand, until=lambda view: "/judge/" in view.question.ident)
    return yard


def _past(yard: Yard) -> Yard:
    yard.clock.go_on(PAST_S)
    yard.session.tick()
    return yard


def _asks_for_no_water(view: View) -> bool:
    held = [line.amount for line in view.to_come if "held-back" in line.name]
    return (
        view.question.ask == SETS
        and view.question.entry == "none"
        and view.question.enter == "place it at once"
        and view.pour is None
        and view.figure is None
        and held in ([], ["0 g"])
    )


def _with_scale(hands_free_s: float = 0) -> tuple[Yard, Hand]:
    yard = Yard(quick(), scale=EmulatedScale(QUIET, seed=5), settings=Settings(hands_free_s=hands_free_s))
    assert yard.scale is not None
    yard.scale.put_mg(BUCKET_MG)
    hand = Hand(yard.scale)
    _judging(yard, hand)
    return yard, hand


@pytest.mark.parametrize("verdict", ["too stiff", "stiff and warm, does not loosen"])
def test_going_back_from_the_question_asks_for_no_water(verdict: str) -> None:
    yard = _past(_judging(Yard(quick())))
    yard.pick(verdict)
    assert words.DISCARD_LINE in [choice.words for choice in yard.question.choices]
    yard.press("back")
    assert _asks_for_no_water(yard.view)
    check(yard.view)
    yard.press()
    skipped = [fact for fact in yard.facts if isinstance(fact, StepSkipped)]
    assert [fact.reason for fact in skipped] == [words.NO_MORE_WATER]
    assert "Water" not in yard.question.ask
    mix(yard)


def test_stiff_and_warm_in_good_time_does_not_ask_about_the_water_held_back() -> None:
    yard = _judging(Yard(quick()))
    yard.pick("stiff and warm")
    yard.press("back")
    assert _asks_for_no_water(yard.view)


def test_a_pour_left_standing_asks_for_no_water_and_trouble_discards() -> None:
    yard = _judging(Yard(quick()))
    yard.pick("too stiff")
    asked = yard.question
    assert asked.ask.startswith("Weigh ")
    _past(yard)
    assert _asks_for_no_water(yard.view)
    assert {act.name: act.words for act in yard.question.acts}["trouble"] == "discard"
    yard.press("trouble")
    yard.press(typed="2")
    assert isinstance(yard.facts[-1], BatchDiscarded)


def test_a_weight_typed_for_the_pour_before_is_entered_with_plus() -> None:
    yard = _past(_judging(Yard(quick())))
    yard.pick("too stiff")
    yard.press("back")
    before_mg = yard.run.content["water"]
    yard.press("add-else")
    yard.pick("Water")
    yard.press(typed="26 g")
    assert yard.run.content["water"] == before_mg + 26_000
    assert _asks_for_no_water(yard.view)


def test_what_was_poured_late_is_booked_when_the_mix_is_placed() -> None:
    yard, _ = _with_scale()
    yard.pick("too stiff")
    yard.until(lambda view: view.pour is not None and view.pour.fraction is not None)
    yard.pour("12 g")
    before_mg = yard.run.content["water"]
    _past(yard)
    yard.until(lambda view: view.scale.state == "steady")
    assert _asks_for_no_water(yard.view)
    yard.press()
    late = [fact for fact in yard.weights if fact.reason == words.POURED_LATE]
    assert [(fact.step, fact.material) for fact in late] == [(None, "water")]
    assert abs(late[0].mass_mg - 12_000) <= 1_000
    assert yard.run.content["water"] == before_mg + late[0].mass_mg
    assert isinstance(yard.facts[-1], StepSkipped)


def test_nothing_takes_itself_and_no_way_is_hinted_past_the_time() -> None:
    yard, _ = _with_scale(hands_free_s=2.0)
    yard.pick("too stiff")
    yard.until(lambda view: view.pour is not None and view.pour.fraction is not None)
    _past(yard)
    before = sum(isinstance(fact, WeightRecorded) for fact in yard.facts)
    yard.pour("26 g")
    yard.wait(5.0)
    yard.pour("200 g")
    yard.wait(5.0)
    assert sum(isinstance(fact, WeightRecorded) for fact in yard.facts) == before
    assert _asks_for_no_water(yard.view)
    assert yard.question.detail == ()


def test_a_remedy_of_water_left_standing_goes_away() -> None:
    yard = Yard(quick())
    mix(yard, verdict="too stiff", until=lambda view: "remedy" in view.question.ident)
    assert "Water" in yard.question.ask
    _past(yard)
    assert "remedy" not in yard.question.ident
    assert "Water" not in yard.question.ask
