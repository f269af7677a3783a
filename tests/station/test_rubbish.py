"""Whatever is typed or pressed, whenever: nothing breaks, and what is stored is what is remembered."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from mixstation.batch.advice import stand
from mixstation.record.codec import read, written
from mixstation.scale.emulator import EmulatedScale
from mixstation.station.bench import Settings
from mixstation.station.view import Answer, View
from mixstation.units.show import DisplayUnits
from mixstation.wording import menu_lines
from tests.depth import examples
from tests.station.mixer import answer_now, mix
from tests.station.recipes import quick, split
from tests.station.view_checks import check
from tests.station.yard import BUCKET_MG, QUIET, TICK_S, Yard

ODD = (
    "1",
    "2",
    "3",
    "9",
    "0",
    "-1",
    "1,5",
    "1.5 kg",
    "208 g",
    "1 kg",
    "50 g",
    "0.26",
    "21",
    "21 °C",
    "1e3",
    "nan",
)
ODD += (
    "²",
    "١",
    "1_000",
    "1,234",
    "12 oz",
    "9999999",
    "-",
    "\x1b[2J",
    "\ud800",
    "\u202e208 g",
    "a" * 2000,
    "",
    " ",
)
typed = st.sampled_from(ODD) | st.text(max_size=12)
VERDICTS = ("right", "too stiff", "too loose")
PRESSED = ("enter", "enter", "enter", "back", "add-else", "take-back", "trouble", "menu", "launch", "")


def ends_well(yard: Yard) -> None:
    """What must hold after anything at all."""
    assert yard.stored() == yard.run
    for entry in yard.run.entries:
        assert read(entry.seq, written(entry)) == entry
    assert yard.run.in_bucket_mg == sum(yard.run.content.values())
    assert all(mass >= 0 for mass in yard.run.content.values())
    dosing = stand(yard.run, 1_000).dosing
    assert dosing is None or dosing.exact_mg >= 0
    check(yard.view)


@given(data=st.data(), units=st.sampled_from(DisplayUnits), comma=st.booleans(), two_coats=st.booleans())
@settings(max_examples=examples(40), suppress_health_check=list(HealthCheck))
def test_typed_rubbish_at_any_question(
    data: st.DataObject, units: DisplayUnits, comma: bool, two_coats: bool
) -> None:
    yard = Yard(
        split() if two_coats else quick(),
        settings=Settings(units=units, decimal_comma=comma, hands_free_s=0),
    )
    for _ in range(data.draw(st.integers(1, 40))):
        sensible = (
            answer_now(yard.view, data.draw(st.sampled_from(VERDICTS))) if data.draw(st.booleans()) else None
        )
        if sensible is not None:
            yard.session.answer(sensible)
        else:
            yard.press(data.draw(st.sampled_from(PRESSED)), data.draw(typed))
        check(yard.view)
        yard.wait(data.draw(st.sampled_from((TICK_S, TICK_S, 5.0))))
    ends_well(yard)


@given(data=st.data())
@settings(max_examples=examples(15), suppress_health_check=list(HealthCheck))
def test_rubbish_with_a_scale_that_is_knocked_about(data: st.DataObject) -> None:
    scale = EmulatedScale(QUIET, seed=1)
    yard = Yard(quick(), scale=scale, settings=Settings(hands_free_s=0.5))
    scale.put_mg(BUCKET_MG)
    deeds = (
        lambda: scale.pour_at_once(data.draw(st.sampled_from((208_000, 40_000, 1_000_000, 600_000)))),
        lambda: scale.pour_at_once(-50_000),
        scale.lift,
        scale.place,
        scale.press_unit,
        scale.press_zero,
        scale.press_tare,
        scale.unplug,
        scale.replug,
        scale.freeze,
        scale.thaw,
        lambda: None,
        lambda: None,
    )
    for _ in range(data.draw(st.integers(1, 30))):
        data.draw(st.sampled_from(deeds))()
        yard.wait(data.draw(st.sampled_from((0.2, 1.0, 3.0))))
        check(yard.view)
        sensible = answer_now(yard.view) if data.draw(st.booleans()) else None
        if sensible is not None:
            yard.session.answer(sensible)
        else:
            yard.press(data.draw(st.sampled_from(PRESSED)), data.draw(typed))
        check(yard.view)
    ends_well(yard)


@given(data=st.data())
@settings(max_examples=examples(15), suppress_health_check=list(HealthCheck))
def test_cut_off_anywhere_it_comes_back_the_same(data: st.DataObject) -> None:
    yard = Yard(quick())
    for _ in range(data.draw(st.integers(1, 25))):
        if data.draw(st.booleans()):
            answer = answer_now(yard.view, data.draw(st.sampled_from(VERDICTS)))
            if answer is not None:
                yard.session.answer(answer)
        else:
            yard.press(data.draw(st.sampled_from(PRESSED)), data.draw(typed))
        yard.wait(TICK_S)
    before = yard.view
    if before.question.grave:
        yard.press("back")
        before = yard.view
    yard.come_back()
    again = yard.view
    if again.question.grave:
        yard.press("back")
        again = yard.view
    assert still(again) == still(before)


def still(view: View) -> View:
    """A view without what was only said once."""
    return replace(view, notice="", bells=0, answered=0)


def test_an_answer_to_another_question_changes_nothing() -> None:
    yard = Yard(quick())
    asked = yard.question.ident
    yard.press()
    facts = yard.facts
    for ident in (asked, "", "main/pour/1", "99/main/pour/1", yard.question.ident + " "):
        yard.session.answer(Answer(question=ident, pressed="enter", typed="208 g"))
        assert yard.facts == facts
        assert yard.view.notice.startswith("The question had changed")


@pytest.mark.parametrize("words", ["safety", "pour", "mixing", "scrape"])
def test_the_same_answer_twice_counts_once(words: str) -> None:
    yard = Yard(quick())
    mix(yard, until=lambda view: words in view.question.ident)
    if words == "mixing":
        yard.wait(2)
    answer = answer_now(yard.view)
    assert answer is not None
    yard.session.answer(answer)
    facts = yard.facts
    yard.session.answer(answer)
    assert yard.facts == facts


def test_an_act_that_is_not_offered_does_nothing() -> None:
    yard = Yard(quick())
    for pressed in ("back", "menu", "trouble", "take-back", "add-else", "launch"):
        yard.press(pressed)
        assert yard.question.ident.split("/")[2] == "safety"
    assert len(yard.facts) == 1


def test_a_note_of_rubbish_is_kept_cleaned_and_the_batch_goes_on() -> None:
    yard = Yard(quick())
    yard.put_gear_on()
    yard.press("menu")
    yard.pick(menu_lines.NOTE_LINE)
    yard.press(typed="\ud800\x1b[2J\u202e" + "x" * 5000)
    note = next(entry.fact for entry in yard.run.entries if entry.fact.kind == "note-written")
    assert "\x1b" not in note.text  # type: ignore[union-attr]
    assert len(note.text) <= 500  # type: ignore[union-attr]
    assert not yard.view.saved_grave
    ends_well(yard)
