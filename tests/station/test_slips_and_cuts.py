"""Slips of the unit, a pour cut off, and questions that no old number stands beside."""

import pytest

from mixstation.batch.events import WeightRecorded
from mixstation.scale.emulator import EmulatedScale
from mixstation.station.bench import Settings
from mixstation.units.parse import parse_mass_mg
from mixstation.wording import menu_lines as words
from mixstation.wording.asks import CUT_OFF
from tests.station.mixer import mix
from tests.station.recipes import quick, split
from tests.station.view_checks import check
from tests.station.yard import Yard


def _at_pour() -> Yard:
    yard = Yard(quick(), powder="8 kg")
    yard.put_gear_on()
    return yard


def test_digits_that_only_fit_in_the_other_unit_are_asked_about() -> None:
    yard = _at_pour()
    assert yard.view.pour is not None
    assert yard.view.pour.target == "832 g"
    yard.press(typed="0.832")
    assert [choice.words for choice in yard.question.choices] == ["832 g", "0.832 g"]
    yard.pick("832 g")
    assert yard.run.content["water"] == 832_000


def test_a_unit_that_was_typed_is_no_slip() -> None:
    yard = _at_pour()
    yard.press(typed="0.832 g")
    assert not yard.question.ident.endswith("which-weight/0")
    assert "far under" in yard.question.ask


def test_a_menu_stands_without_the_number_of_the_step() -> None:
    yard = _at_pour()
    assert yard.view.figure is not None
    yard.press("menu")
    assert yard.view.figure is None
    assert yard.view.pour is None
    yard.press("back")
    assert yard.view.figure is not None


def test_lines_of_the_trouble_menu_keep_their_numbers_whatever_is_flagged() -> None:
    calm, flagged = _at_pour(), _at_pour()
    flagged.press(typed="1.3 kg")
    while flagged.question.grave:
        flagged.press("back")
    for yard in (calm, flagged):
        yard.press("trouble")
    shown = [[choice.words for choice in yard.question.choices] for yard in (calm, flagged)]
    assert shown[0] == shown[1]
    assert shown[0][0] == words.WAYS_LINE


def test_what_was_poured_when_the_cable_came_out_is_said() -> None:
    scale = EmulatedScale(seed=3)
    yard = Yard(quick(), powder="8 kg", scale=scale)
    yard.bucket_on()
    scale.pour_at_once(300_000)
    yard.until(lambda view: view.scale.state == "steady" and view.pour is not None and view.pour.fraction)
    scale.unplug()
    yard.until(lambda view: "type that" in view.question.ask)
    check(yard.view)
    assert "300 g is counted: the scale showed it before it went." in yard.question.detail


def test_after_a_cut_without_the_scale_the_pour_that_was_begun_is_named() -> None:
    scale = EmulatedScale(seed=3)
    yard = Yard(quick(), powder="8 kg", scale=scale)
    yard.bucket_on()
    scale.pour_at_once(300_000)
    yard.wait(3)
    yard.scale = None
    yard.come_back()
    assert CUT_OFF in yard.question.detail
    assert not any(isinstance(fact, WeightRecorded) for fact in yard.facts)


def test_taking_out_is_asked_about_as_taking_out() -> None:
    yard = Yard(split(), powder="8 kg")
    mix(yard, until=lambda view: "/take-out/" in view.question.ident)
    assert yard.view.pour is not None
    target_mg = parse_mass_mg(yard.view.pour.target)
    yard.press(typed=f"{target_mg * 9 // 20 // 1000} g")
    assert yard.question.enter == "yes, only that came out"
    yard.press("back")
    yard.press(typed="9 g")
    assert any("type it once more" in choice.words for choice in yard.question.choices)


def test_a_batch_with_open_checks_can_be_discarded_at_its_end() -> None:
    yard = Yard(quick())
    yard.put_gear_on()
    yard.press(typed="0.4 kg")
    while yard.question.grave:
        yard.press() if yard.question.enter else yard.press("back")
    mix(yard, until=lambda view: "/finish/" in view.question.ident)
    yard.press()
    assert words.DISCARD_LINE in [choice.words for choice in yard.question.choices]
    yard.pick(words.DISCARD_LINE)
    yard.pick("too much water")
    assert yard.run.ended == "discarded"


def test_something_no_recipe_knows_is_discarded_or_noted() -> None:
    yard = _at_pour()
    yard.press("add-else")
    yard.pick(words.FOREIGN_LINE)
    assert "no figure holds" in yard.question.ask
    yard.pick(words.DISCARD_LINE)
    assert yard.run.ended == "discarded"


def test_digits_where_nothing_is_typed_do_not_do_what_enter_does() -> None:
    yard = _at_pour()
    mix(yard, until=lambda view: "/start-mixing/" in view.question.ident)
    before, question = yard.facts, yard.question
    yard.press(typed="0.4")
    assert (yard.facts, yard.question) == (before, question)
    assert (
        yard.view.notice
        == f"Nothing is typed at this question: “0.4” is wiped. Enter alone: {question.enter}."
    )
    yard.press()
    assert len(yard.facts) == len(before) + 1


def test_another_weight_typed_at_a_yes_is_not_a_yes() -> None:
    yard = _at_pour()
    yard.press(typed="1.3 kg")
    assert yard.question.ident.endswith("/confirm")
    yard.press(typed="0.832")
    assert yard.question.ident.endswith("/confirm")
    assert yard.weights == []


def _beside(name: str, typed: str = "") -> Yard:
    yard = Yard("planter_wall", "8 kg")
    yard.put_gear_on()
    yard.press("add-else")
    yard.pick(name)
    if typed:
        yard.press(typed=typed)
    return yard


def test_what_goes_in_beside_the_steps_is_typed_in_the_unit_of_its_own_dose() -> None:
    yard = _beside("Plasticiser")
    assert yard.question.unit_word == "grams"
    yard.press(typed="15")
    assert yard.run.content["plasticiser"] == 15_000
    assert yard.view.notice == "15 g Plasticiser is in."


def test_far_more_beside_the_steps_than_is_planned_in_all_is_asked_about_with_its_amount() -> None:
    yard = _beside("Plasticiser", "15 kg")
    assert yard.weights == []
    assert yard.question.ask.startswith("15 kg of Plasticiser: 15 kg would then be in, far over the ")
    assert "the water would end at" in yard.question.ask
    assert "the dose would end at" in yard.question.ask
    yard.pick("15 kg all the same")
    yard.press(typed="15 kg")
    assert yard.run.content["plasticiser"] == 15_000_000


def test_kilograms_typed_beside_the_steps_where_grams_are_asked_for_are_asked_about() -> None:
    yard = _beside("Plasticiser", "0.015")
    assert yard.question.ask == words.WHICH_WEIGHT
    yard.pick("15 g")
    assert yard.run.content["plasticiser"] == 15_000


def test_what_comes_out_is_typed_in_the_unit_of_what_is_in_and_said() -> None:
    yard = _beside("Plasticiser", "15")
    yard.press("trouble")
    yard.pick(words.OUT_LINE)
    yard.pick("Plasticiser")
    assert yard.question.unit_word == "grams"
    yard.press(typed="16")
    assert yard.view.notice == "16 g cannot come out: only 15 g is in."
    yard.press(typed="5")
    assert yard.run.content["plasticiser"] == 10_000
    assert yard.view.notice == "5 g Plasticiser is out."


def _blend_left(left: str) -> Yard:
    """At the second share of 8 kg of blend, all but a little of it in."""
    yard = Yard(quick(), powder="8 kg", settings=Settings(division_mg=5_000, hands_free_s=0))
    mix(yard, until=lambda view: "/pour/" in view.question.ident and len(view.went_in) == 2)
    yard.press(typed=left)
    return yard


def test_the_same_kilograms_typed_again_for_a_small_rest_are_asked_about() -> None:
    yard = _blend_left("3.5")
    assert yard.question.unit_word == "grams"
    yard.press(typed="3.5")
    assert [choice.words for choice in yard.question.choices] == ["3.5 kg", "3.5 g"]
    yard.press("back")
    yard.press(typed="500")
    assert yard.run.content["blend"] == pytest.approx(8_000_000, abs=5_000)
