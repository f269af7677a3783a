"""What is asked at the odd moments: too little for the scale, nothing left to weigh, before anything is taken out."""

import pytest

from mixstation.batch.events import ConsistencyJudged, PortionTaken, StepSkipped
from mixstation.scale.emulator import EmulatedScale
from mixstation.station.bench import Settings
from mixstation.wording import menu_lines as words
from tests.station.mixer import at_step, mix
from tests.station.recipes import quick, split
from tests.station.yard import BUCKET_MG, QUIET, Yard


def test_too_little_for_the_scale_is_asked_for_in_full_and_never_as_nothing() -> None:
    yard = Yard("planter_wall", "2 kg", settings=Settings(division_mg=20_000, hands_free_s=0))
    mix(yard, until=at_step("Plasticiser"), tick_s=1.0)
    view = yard.view
    assert view.question.ask == "Weigh 6.65 g of Plasticiser on a finer scale, add it, type what went in."
    assert view.figure is not None
    assert view.figure.plain == "weigh in 6.65 g"
    assert view.question.unit_word == "grams"
    yard.press(typed="6.7")
    assert yard.run.content["plasticiser"] == 6_700
    assert yard.question.ask.startswith("Mix")


def test_where_enough_is_in_no_number_is_shown() -> None:
    yard = Yard(quick())
    yard.put_gear_on()
    yard.press(typed="260 g")
    mix(yard, until=lambda view: "/judge/" in view.question.ident)
    yard.pick("too stiff")
    view = yard.view
    assert view.question.ask == "Enough Water is in."
    assert (view.figure, view.pour) == (None, None)
    yard.press()
    assert yard.question.ask != view.question.ask


@pytest.mark.parametrize("weighing", ["bucket", "supply", "tub"])
def test_before_anything_is_taken_out_the_right_vessel_is_asked_onto_the_scale(weighing: str) -> None:
    scale = EmulatedScale(QUIET, seed=1)
    yard = Yard(split(), scale=scale, weighing=weighing)  # type: ignore[arg-type]
    yard.put_gear_on()
    yard.until(lambda view: view.scale.state == "steady")
    for typed in ("260 g", "2 kg"):
        yard.press(typed=typed)
    mix(yard, until=lambda view: view.pour is not None)
    ask, enter = {
        "bucket": ("Put the bucket on the scale and wait until it is steady.", "bucket is on"),
        "supply": ("Put the bucket on the scale and wait until it is steady.", "bucket is on"),
        "tub": ("Put the empty vessel for what comes out on the scale.", "vessel is on"),
    }[weighing]
    assert (yard.question.ask, yard.question.enter) == (ask, enter)
    scale.put_mg(BUCKET_MG + (0 if weighing == "tub" else 2_260_000))
    yard.until(lambda view: view.scale.state == "steady" and view.scale.text != "0 g")
    yard.press()
    assert yard.question.ask == "Take 565 g out of the bucket for the face coat."
    scale.pour_at_once(565_000 if weighing == "tub" else -565_000)
    yard.wait(2.0)
    yard.until(lambda view: view.scale.state == "steady")
    yard.press()
    taken = [fact for fact in yard.facts if isinstance(fact, PortionTaken)]
    assert [fact.mass_mg for fact in taken] == [pytest.approx(565_000, abs=1_100)]


def test_a_mix_judged_right_leaves_the_held_back_water_out_with_a_word_and_is_not_judged_twice() -> None:
    """2 kg of blend, target 0.13 of it, a fifth held back: 52 g stay out and it ends at 0.104, under its band."""
    yard = Yard(quick())
    mix(yard, until=lambda view: "/judge/" in view.question.ident)
    judged = len([fact for fact in yard.facts if isinstance(fact, ConsistencyJudged)])
    yard.pick("right")
    question = yard.question
    assert question.ask == "Leave 52 g of Water out: it moves right without it."
    assert question.detail[0] == "Then it ends at 0.104, under the band's 0.120."
    assert yard.view.ratio is not None
    assert (yard.view.ratio.value[:5], yard.view.ratio.place) == ("0.104", "under")
    assert next((line.amount, line.mark) for line in yard.view.to_come) == ("0 g", "now")
    assert "water-under" not in yard.flags, "it is not left out yet"
    assert (question.choices, question.enter) == ((), "leave it out")
    yard.press()
    assert "fibre" in yard.question.ask
    assert [fact.reason for fact in yard.facts if isinstance(fact, StepSkipped)] == [words.RIGHT_WITHOUT]
    assert len([fact for fact in yard.facts if isinstance(fact, ConsistencyJudged)]) == judged + 1
    assert [flag.gravity for flag in yard.view.flags] == ["warn"]
    assert yard.view.flags[0].sentence.endswith(
        "You judged it right; a stiffer mix compacts and bonds worse. Press + to add water after all."
    )
    mix(yard)
    assert yard.run.ended == "finished"
    assert yard.flags == {"water-under"}
    assert yard.run.entries[-1].fact.concession


def test_a_mix_judged_right_may_have_its_water_after_all() -> None:
    yard = Yard(quick())
    mix(yard, until=lambda view: "/judge/" in view.question.ident)
    yard.pick("right")
    yard.press("menu")
    yard.pick(words.CONSISTENCY_LINE)
    yard.pick("too stiff")
    assert yard.question.ask.startswith("Weigh 26 g of Water")


def test_a_mix_judged_right_with_all_the_water_in_just_goes_on() -> None:
    yard = Yard(quick())
    yard.put_gear_on()
    yard.press(typed="260 g")
    mix(yard, until=lambda view: "/judge/" in view.question.ident)
    yard.pick("right")
    assert (yard.question.ask, yard.question.enter) == ("Enough Water is in.", "go on")
    yard.press()
    assert not [fact for fact in yard.facts if isinstance(fact, StepSkipped)]


def test_where_the_only_powder_runs_out_before_anything_is_in_the_batch_is_left_or_discarded() -> None:
    yard = Yard(quick())
    yard.put_gear_on()
    yard.press("menu")
    yard.pick("a material ran out")
    yard.pick("Casting blend")
    leave, discard = yard.question.choices
    assert leave.words.startswith("Leave it: Casting blend stays short.")
    assert discard.words.startswith("Discard it")
    yard.press("back")
    assert yard.question.ask == "As it stands no Water is needed."
