"""What is asked at the odd moments: too little for the scale, nothing left to weigh, before anything is taken out."""

import pytest

from mixstation.batch.events import ConsistencyJudged, EntryTakenBack, FlagRaised, PortionTaken, StepSkipped
from mixstation.scale.emulator import EmulatedScale
from mixstation.station.bench import Settings
from mixstation.wording import menu_lines as words
from tests.station.mixer import at_step, mix
from tests.station.recipes import quick, split
from tests.station.view_checks import check
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


def _judged(verdict: str) -> Yard:
    """2 kg of blend, target 0.13 of it, band 0.12 to 0.14, a fifth held back: 208 g are in, 0.104."""
    yard = Yard(quick())
    mix(yard, until=lambda view: "/judge/" in view.question.ident)
    yard.pick(verdict)
    if yard.question.grave:
        # This recipe does not mix again after its rest; that is passed over.
        yard.press("back")
    return yard


def test_right_far_under_the_band_says_what_may_be_off_and_what_can_be_done() -> None:
    yard = _judged("right")
    question = yard.question
    assert question.ask == "Right with water at 0.104? The recipe's least is 0.120."
    assert question.detail[0] == (
        "Powder, water or the scale is off, or the recipe's water is. Check the weights."
    )
    assert [choice.words for choice in question.choices] == [
        "add held-back water in steps: 26 g now, mix, judge again",
        "leave the rest out: water ends at 0.104",
        "check the weights",
    ]
    assert question.enter == ""
    assert yard.view.ratio is not None
    assert (yard.view.ratio.value[:5], yard.view.ratio.place) == ("0.104", "under")
    assert "water-under" not in yard.flags, "it is not left out yet"
    check(yard.view)


def test_a_mix_judged_right_leaves_the_held_back_water_out_with_a_word_and_is_not_judged_twice() -> None:
    yard = _judged("right")
    judged = len([fact for fact in yard.facts if isinstance(fact, ConsistencyJudged)])
    yard.press(typed="2")
    assert "fibre" in yard.question.ask
    assert [fact.reason for fact in yard.facts if isinstance(fact, StepSkipped)] == [words.RIGHT_WITHOUT]
    assert len([fact for fact in yard.facts if isinstance(fact, ConsistencyJudged)]) == judged
    assert [flag.gravity for flag in yard.view.flags] == ["warn"]
    assert yard.view.flags[0].sentence.endswith(
        "You judged it right; a stiffer mix compacts and bonds worse. Press a (pad: * 2) to add water after all."
    )
    mix(yard)
    assert yard.run.ended == "finished"
    assert yard.flags == {"water-under"}
    assert yard.run.entries[-1].fact.concession


def test_water_goes_into_a_mix_found_right_in_steps_that_are_each_judged_until_it_is_in_its_band() -> None:
    """26 g of 260 g a step: 208 + 26 g are 0.117 of 2 kg, still under 0.12; 208 + 52 g are 0.130."""
    yard = _judged("right")
    yard.press(typed="1")
    assert yard.question.ask.startswith("Weigh 26 g of Water")
    yard.press(typed="26 g")
    mix(yard, until=lambda view: "/release-mixing/" in view.question.ident)
    yard.wait(1.5)
    yard.pick("right")
    assert yard.question.ask == "Right with water at 0.117? The recipe's least is 0.120."
    yard.press(typed="1")
    yard.press(typed="26 g")
    mix(yard, until=lambda view: "/release-mixing/" in view.question.ident)
    yard.wait(1.5)
    yard.pick("right")
    assert "fibre" in yard.question.ask
    mix(yard)
    assert (yard.run.ended, yard.flags) == ("finished", set())


def test_the_judgement_taken_back_takes_the_letting_in_with_it() -> None:
    yard = _judged("right")
    yard.press(typed="1")
    yard.press("take-back")
    yard.pick("consistency right")
    yard.press(typed="1")
    assert "/judge/" in yard.question.ident


def test_past_the_working_time_no_water_is_let_into_a_mix_found_right() -> None:
    yard = _judged("right")
    yard.clock.go_on(3600)
    yard.wait(0.2)
    offered = [choice.words for choice in yard.question.choices]
    assert offered == ["leave the rest out: water ends at 0.104", "check the weights"]
    yard.press(typed="1")
    assert [fact.reason for fact in yard.facts if isinstance(fact, StepSkipped)] == [words.RIGHT_WITHOUT]


def test_the_weights_are_looked_at_one_by_one_and_a_wrong_one_taken_back() -> None:
    yard = _judged("right")
    yard.pick("check the weights")
    lines = [choice.words for choice in yard.question.choices]
    assert lines[:2] == [words.WEIGHTS_RIGHT, words.UNRECORDED_LINE]
    assert len(lines) == 5
    assert "1.000 kg" in lines[2]
    assert "208 g" in lines[4]
    check(yard.view)
    yard.pick(words.WEIGHTS_RIGHT)
    assert yard.question.ask.startswith("Right with water at 0.104?")
    yard.pick("check the weights")
    yard.press(typed="3")
    yard.press(typed="1")
    assert isinstance(yard.facts[-1], EntryTakenBack)


def test_a_weight_mended_so_that_the_water_is_in_its_band_leaves_no_doubt() -> None:
    """350 g of powder less than booked make 208 g of water 0.126 of 1.65 kg."""
    yard = _judged("right")
    yard.pick("check the weights")
    yard.press(typed="3")
    yard.press(typed="1")
    yard.press(typed="0,65 kg")
    yard.press("menu")
    yard.pick("go on with what is in")
    mix(yard, until=lambda view: "/release-judge/" in view.question.ident)
    yard.pick("right")
    assert "fibre" in yard.question.ask
    assert "water-under" not in yard.flags


def test_too_loose_far_under_the_band_holds_the_rest_and_has_the_weights_checked() -> None:
    yard = _judged("too loose")
    question = yard.question
    assert question.ask == "Too loose with water at 0.104, least 0.120? Keep back the rest."
    assert question.detail[0] == (
        "Powder, water or the scale is off, or the recipe's water is. Check the weights."
    )
    assert [choice.words for choice in question.choices] == [
        "leave the rest out: water ends at 0.104",
        "let it stand 2 min, mix 30 s, judge again",
        "check the weights",
    ]
    check(yard.view)


def test_too_loose_and_left_so_is_flagged_once_when_the_batch_is_closed() -> None:
    yard = _judged("too loose")
    yard.press(typed="1")
    assert [fact.reason for fact in yard.facts if isinstance(fact, StepSkipped)] == [words.LOOSE_WITHOUT]
    yard.press("menu")
    yard.pick(words.CONSISTENCY_LINE)
    yard.pick("too loose")
    yard.press("back")
    mix(yard)
    assert yard.run.ended == "finished"
    raised = [fact.code for fact in yard.facts if isinstance(fact, FlagRaised)]
    assert raised.count("too-loose") == 1
    assert "too-loose" in yard.facts[-1].accepted


def test_too_loose_stands_is_mixed_and_judged_again_and_right_then_is_no_flag() -> None:
    yard = _judged("too loose")
    yard.press(typed="2")
    mix(yard, until=lambda view: "/judge/" in view.question.ident)
    yard.pick("too stiff")
    assert yard.question.ask.startswith("Weigh 26 g of Water")
    mix(yard, verdict="too stiff", until=lambda view: "fibre" in view.question.ask)
    assert "too-loose" not in yard.flags


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
    yard.press("trouble")
    yard.pick("a material ran out")
    yard.pick("Casting blend")
    leave, discard = yard.question.choices
    assert leave.words.startswith("Leave it: Casting blend stays short.")
    assert discard.words.startswith("Discard it")
    yard.press("back")
    assert yard.question.ask == "As it stands no Water is needed."
