"""Slips of the unit, a pour cut off, and questions that no old number stands beside."""

from mixstation.batch.events import WeightRecorded
from mixstation.scale.emulator import EmulatedScale
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
    assert [choice.words for choice in yard.question.choices] == ["832 g", "1 g"]
    yard.pick("832 g")
    assert yard.run.content["water"] == 832_000


def test_a_unit_that_was_typed_is_no_slip() -> None:
    yard = _at_pour()
    yard.press(typed="0.832 g")
    assert not yard.question.choices
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
    yard.until(lambda view: "type" in view.question.ask)
    check(yard.view)
    assert any("300 g of this was done" in line for line in yard.question.detail)


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
    yard.press(typed="9 g")
    assert yard.question.enter == words.CONFIRM_OUT["far-under"]


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
    yard.press(typed="8.32 kg")
    assert yard.question.ident.endswith("/confirm")
    yard.press(typed="0.832")
    assert yard.question.ident.endswith("/confirm")
    assert yard.weights == []
