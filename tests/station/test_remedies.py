"""After the mix was judged: the trade's next remedy, one at a time, and never water into a mix that sets."""

import pytest

from mixstation.batch.events import StepSkipped
from mixstation.units.parse import parse_mass_mg
from mixstation.wording import menu_lines as words
from tests.station.mixer import answer_now, mix
from tests.station.recipes import quick
from tests.station.view_checks import check
from tests.station.yard import Yard


def _judging(yard: Yard) -> Yard:
    """Come to where the recipe first asks how the mix moves."""
    mix(yard, until=lambda view: "/judge/" in view.question.ident)
    return yard


def _released(yard: Yard) -> Yard:
    """Come past the held-back water: all of it is in."""
    mix(yard, verdict="too stiff", until=lambda view: "remedy" in view.question.ident)
    return yard


def test_too_stiff_with_water_held_back_goes_straight_to_the_recipes_own_release() -> None:
    yard = _judging(Yard(quick()))
    yard.pick("too stiff")
    assert not yard.question.grave
    assert yard.question.ask.startswith("Weigh ")
    assert "Water" in yard.question.ask


def test_too_stiff_with_all_water_in_asks_for_water_up_to_the_band_step_by_step() -> None:
    yard = _released(Yard(quick()))
    check(yard.view)
    assert "no further" in yard.question.ask
    before_mg = yard.run.content["water"]
    yard.pick(words.TAKE_REMEDY_LINE)
    assert yard.question.ask.startswith("Weigh ")
    assert "Water" in yard.question.ask
    assert yard.view.pour is not None
    mass_mg = parse_mass_mg(yard.view.pour.target)
    yard.press(typed=yard.view.pour.target)
    assert yard.run.content["water"] == before_mg + mass_mg
    assert yard.question.enter == "paddle turns"
    mix(yard, until=lambda view: "/judge/" in view.question.ident)
    yard.pick("right")
    mix(yard)
    assert yard.run.ended == "finished"


def test_judged_while_the_paddle_turns_it_is_mixed_on() -> None:
    """Nothing is put before the recipe's own mixing, which is under way."""
    yard = Yard(quick())
    mix(yard, until=lambda view: view.countdown is not None)
    steps = yard.run.steps
    yard.press("menu")
    yard.pick(words.CONSISTENCY_LINE)
    yard.pick("too stiff")
    assert yard.run.judged is not None
    assert yard.view.countdown is not None
    assert not yard.question.grave
    assert yard.run.steps == steps


def test_judged_before_a_mixing_that_is_at_hand_only_that_is_offered() -> None:
    yard = Yard(quick())
    mix(yard, until=lambda view: view.question.enter == "paddle turns")
    yard.press("menu")
    yard.pick(words.CONSISTENCY_LINE)
    yard.pick("too stiff")
    assert yard.question.ask.startswith("Not all is mixed in yet")
    assert [choice.words for choice in yard.question.choices] == [words.GO_ON_LINE]


def test_gone_on_as_it_is_nothing_is_asked_for() -> None:
    yard = _released(Yard(quick()))
    left = yard.run.steps
    yard.pick(words.GO_ON_LINE)
    assert yard.run.steps == left


def test_left_in_the_middle_of_a_remedy_it_goes_on_there() -> None:
    yard = _released(Yard(quick()))
    yard.pick(words.TAKE_REMEDY_LINE)
    assert yard.view.pour is not None
    yard.press(typed=yard.view.pour.target)
    before = yard.question
    yard.come_back()
    assert yard.question.ask == before.ask


@pytest.mark.parametrize("verdict", ["stiff and warm, does not loosen"])
def test_a_mix_that_sets_is_discarded_or_placed_and_no_line_asks_for_water(verdict: str) -> None:
    yard = _judging(Yard(quick()))
    yard.pick(verdict)
    assert [choice.words for choice in yard.question.choices] == [words.DISCARD_LINE, words.PLACE_NOW_LINE]
    yard.pick(words.PLACE_NOW_LINE)
    skipped = [fact for fact in yard.facts if isinstance(fact, StepSkipped)]
    assert [fact.reason for fact in skipped] == [words.NO_MORE_WATER]
    assert "Water" not in yard.question.ask


def test_past_its_time_too_stiff_asks_for_no_water() -> None:
    yard = _judging(Yard(quick()))
    yard.clock.go_on(2 * 3600)
    yard.session.tick()
    yard.pick("too stiff")
    assert "Discard" in yard.question.ask
    assert words.PLACE_NOW_LINE in [choice.words for choice in yard.question.choices]


def test_held_back_water_judged_too_soon_is_mixed_on_and_no_more_is_asked_for() -> None:
    yard = _judging(Yard(quick()))
    yard.pick("too stiff")
    yard.press(typed="26 g")
    yard.press()
    yard.wait(0.2)
    yard.pick("too stiff")
    assert yard.question.ask.startswith("Not all is mixed in yet: mix ")
    yard.pick(words.MIX_ON_LINE)
    assert yard.question.enter == "paddle turns"
    assert "Water" not in yard.question.ask


def test_how_long_a_mixing_ended_early_took_goes_on_with_the_clock() -> None:
    yard = Yard("hearth_plate")
    mix(yard, until=lambda view: view.countdown is not None)
    yard.press()
    before = yard.question.ask
    assert before.startswith("Only ")
    yard.wait(2.0)
    after = yard.question.ask
    assert after.startswith("Only ")
    assert after != before


def test_right_with_water_in_its_band_asks_nothing_and_the_batch_goes_on_to_its_end() -> None:
    yard = _judging(Yard(quick()))
    yard.pick("right")
    assert not yard.question.grave
    assert answer_now(yard.view) is not None
    mix(yard)
    assert yard.run.ended == "finished"
