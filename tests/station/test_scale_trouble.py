"""The scale in trouble: unplugged, another unit, the bucket lifted, zeroed anew, heavier than the entries."""

import pytest

from mixstation.batch.events import ReferenceTaken, ScaleChanged, WeightRecorded
from mixstation.scale.emulator import EmulatedScale
from mixstation.station.bench import Settings
from mixstation.station.view import View
from mixstation.units.parse import parse_mass_mg
from mixstation.wording import menu_lines
from tests.station.mixer import Hand, at_step, mix
from tests.station.recipes import quick, split
from tests.station.yard import BUCKET_MG, QUIET, Yard

GRAM = 1_000
POUND_DIVISION_MG = 454


def yard_at_scale(seed: int = 1, settings: Settings | None = None) -> tuple[Yard, EmulatedScale]:
    scale = EmulatedScale(QUIET, seed=seed)
    return Yard(quick(), scale=scale, settings=settings), scale


def poured_mg(scale: EmulatedScale) -> int:
    return sum(pour.mass_mg for pour in scale.poured)


# By its last line before the cable came out.
COUNTED = "66 g counted"


def nothing_live(view: View) -> bool:
    return (
        not view.scale.fresh
        and view.scale.text == ""
        and (view.pour is None or (view.pour.fraction is None and view.pour.actual in ("—", COUNTED)))
    )


def test_unplugged_mid_pour_nothing_stale_is_shown_or_booked_and_after_replugging_the_numbers_are_right() -> (
    None
):
    yard, scale = yard_at_scale(settings=Settings(hands_free_s=1.0))
    yard.bucket_on()
    scale.pour(40_000, total_mg=208_000)
    yard.wait(2.0)
    assert yard.view.pour is not None
    assert yard.view.pour.fraction is not None
    scale.unplug()
    # Longer than the stream and the hands-free wait together.
    yard.wait(1.5)
    for _ in range(200):
        yard.wait(0.07)
        assert nothing_live(yard.view)
    assert yard.view.scale.state == "unplugged"
    assert yard.weights == []
    assert "scale-silent" in yard.flags
    yard.press()
    assert yard.weights == []
    assert yard.question.entry == "mass"
    assert yard.question.ask == "Weigh 142 g more of Water elsewhere, add it, type that."
    scale.replug()
    yard.until(lambda view: bool(view.went_in))
    assert yard.weights[0].mass_mg == pytest.approx(208_000, abs=GRAM + 100)
    assert yard.weights[0].source == "scale"
    states = [fact.state for fact in yard.facts if isinstance(fact, ScaleChanged)]
    assert states == ["live", "lost", "live"]
    mix(yard, hand=Hand(scale), verdict="too stiff")
    assert abs(yard.run.in_bucket_mg - poured_mg(scale)) <= len(yard.weights) * (GRAM + 100)


def test_a_typed_weight_is_taken_while_the_scale_is_away() -> None:
    yard, scale = yard_at_scale()
    yard.bucket_on()
    scale.pour(100_000, total_mg=208_000)
    scale.unplug()
    yard.wait(4.0)
    yard.press(typed="208")
    assert [weight.source for weight in yard.weights] == ["typed"]
    assert (
        yard.question.ask == "On another scale: weigh 1.000 kg of Casting blend, add it, type what went in."
    )
    scale.replug()
    # What was typed went into the bucket on the scale, so the next pour begins from a known weight.
    yard.until(lambda view: view.pour is not None and view.pour.fraction is not None)
    mix(yard, hand=Hand(scale), verdict="too stiff")
    assert yard.run.ended == "finished"
    assert abs(yard.run.in_bucket_mg - poured_mg(scale)) <= len(yard.weights) * (GRAM + 100)
    assert "bucket-heavier" not in yard.flags


def test_the_unit_key_mid_pour_is_converted_flagged_and_never_booked_by_itself() -> None:
    yard, scale = yard_at_scale(settings=Settings(hands_free_s=1.0))
    yard.bucket_on()
    scale.pour(60_000, total_mg=207_800)
    yard.wait(1.0)
    scale.press_unit()
    yard.wait(8.0)
    assert yard.view.scale.state == "steady"
    assert "scale-unit-changed" in yard.flags
    assert yard.weights == []
    assert yard.view.pour is not None
    assert abs(parse_mass_mg(yard.view.pour.actual) - 207_800) <= POUND_DIVISION_MG + GRAM
    assert yard.view.pour.place == "inside"
    yard.press()
    assert yard.weights[0].mass_mg == pytest.approx(207_800, abs=(POUND_DIVISION_MG + GRAM) / 2 + 100)
    assert yard.weights[0].division_mg == POUND_DIVISION_MG
    assert "lb" in yard.weights[0].shown
    # From the next start reading on the pounds are the scale's own unit again.
    mix(yard, hand=Hand(scale), verdict="too stiff")
    assert yard.run.ended == "finished"
    assert abs(yard.run.in_bucket_mg - poured_mg(scale)) <= len(yard.weights) * (GRAM + 100)


def test_a_bucket_lifted_mid_pour_is_asked_back_and_nothing_is_lost() -> None:
    yard, scale = yard_at_scale(settings=Settings(hands_free_s=1.0))
    yard.bucket_on()
    yard.pour("100 g", seconds=2)
    scale.lift()
    yard.until(lambda view: view.scale.state == "steady" and view.scale.text == "0 g")
    view = yard.view
    assert view.question.ask == "Put the bucket back on the scale."
    assert view.pour is not None
    assert view.pour.actual == "—"
    assert view.pour.cue == ""
    # 100 g of it are in: the whole 208 g would be poured over them.
    assert view.figure is None
    yard.press()
    yard.wait(3.0)
    assert yard.weights == []
    scale.place()
    yard.until(lambda view: view.pour is not None and view.pour.fraction is not None)
    yard.until(lambda view: view.scale.state == "steady")
    assert yard.view.pour is not None
    assert yard.view.pour.actual == "100 g"
    yard.pour("108 g", seconds=2)
    yard.until(lambda view: bool(view.went_in), limit_s=10)
    assert yard.weights[0].mass_mg == pytest.approx(208_000, abs=GRAM + 100)


def test_a_bucket_lifted_between_steps_is_waited_for() -> None:
    yard, scale = yard_at_scale()
    yard.bucket_on()
    yard.pour("208 g")
    yard.press()
    scale.lift()
    yard.wait(6.0)
    assert yard.question.ask == "Put the bucket on the scale and wait until it is steady."
    assert sum(isinstance(fact, ReferenceTaken) for fact in yard.facts) == 1
    scale.place()
    yard.until(lambda view: view.pour is not None and view.pour.fraction is not None)
    assert sum(isinstance(fact, ReferenceTaken) for fact in yard.facts) == 2
    assert not yard.question.grave


def test_an_empty_scale_is_no_start_reading_without_a_question() -> None:
    yard, scale = yard_at_scale()
    yard.bucket_on()
    yard.pour("208 g")
    yard.press()
    scale.lift()
    yard.until(lambda view: view.scale.text == "0 g" and view.scale.state == "steady")
    yard.press()
    assert yard.question.grave
    assert yard.question.ask.startswith("The scale shows 1.448 kg less")
    yard.press("back")
    scale.place()
    yard.until(lambda view: view.pour is not None and view.pour.fraction is not None)


def test_a_scale_zeroed_between_steps_with_the_bucket_on_goes_on_from_zero() -> None:
    yard, scale = yard_at_scale()
    yard.bucket_on()
    yard.pour("208 g")
    yard.press()
    scale.press_zero()
    yard.until(lambda view: view.scale.text == "0 g" and view.scale.state == "steady")
    yard.until(lambda view: view.pour is not None and view.pour.fraction is not None)
    mix(yard, hand=Hand(scale), verdict="too stiff")
    assert yard.run.ended == "finished"
    assert abs(yard.run.in_bucket_mg - poured_mg(scale)) <= len(yard.weights) * (GRAM + 100)
    assert not {flag for flag in yard.flags if flag.startswith("bucket-")}


def test_a_scale_zeroed_mid_pour_has_a_way_on_that_loses_nothing() -> None:
    yard, scale = yard_at_scale()
    yard.bucket_on()
    yard.pour("150 g")
    scale.press_zero()
    yard.until(lambda view: view.scale.text == "0 g" and view.scale.state == "steady")
    yard.wait(1.0)
    # What was in before counts, and the rest is weighed from the new zero.
    assert yard.view.pour is not None
    assert yard.view.pour.actual == "150 g"
    mix(yard, hand=Hand(scale), verdict="too stiff")
    assert yard.run.ended == "finished"
    assert abs(yard.run.in_bucket_mg - poured_mg(scale)) <= len(yard.weights) * (GRAM + 100)


def heavier() -> tuple[Yard, EmulatedScale]:
    """A batch at its second weighing with 310 g in the bucket that nobody has entered."""
    yard, scale = yard_at_scale()
    yard.bucket_on()
    yard.pour("208 g")
    yard.press()
    scale.pour_at_once(310_000)
    yard.wait(6.0)
    assert yard.question.ask == "Put the bucket on the scale and wait until it is steady."
    yard.press()
    assert yard.question.grave
    assert yard.question.ask == "The scale shows 310 g more than the bucket should weigh by the entries."
    return yard, scale


def test_a_heavier_bucket_can_be_part_of_this_dose() -> None:
    yard, scale = heavier()
    yard.pick(menu_lines.PART_OF_DOSE)
    assert yard.view.pour is not None
    assert yard.view.pour.actual == "310 g"
    mix(yard, hand=Hand(scale), verdict="too stiff")
    assert abs(yard.run.in_bucket_mg - poured_mg(scale)) <= len(yard.weights) * (GRAM + 100)
    assert yard.run.content["blend"] == pytest.approx(2_000_000, rel=0.02)


def test_a_heavier_bucket_can_be_entered_as_what_it_was() -> None:
    yard, scale = heavier()
    yard.pick(menu_lines.NOT_ENTERED)
    yard.pick("Casting blend")
    yard.press(typed="310 g")
    assert yard.run.content["blend"] == 310_000
    mix(yard, hand=Hand(scale), verdict="too stiff")
    assert abs(yard.run.in_bucket_mg - poured_mg(scale)) <= len(yard.weights) * (GRAM + 100)
    assert "bucket-heavier" not in yard.flags


def test_a_heavier_bucket_taken_as_it_is_stays_flagged() -> None:
    yard, scale = heavier()
    yard.pick(menu_lines.NOTHING_IN)
    assert "bucket-heavier" in yard.flags
    assert yard.view.pour is not None
    assert yard.view.pour.actual == "0 g"
    mix(yard, hand=Hand(scale), verdict="too stiff")
    assert yard.run.ended == "finished"
    left_mg = poured_mg(scale) - yard.run.in_bucket_mg
    assert left_mg == pytest.approx(310_000, abs=len(yard.weights) * (GRAM + 100))


def test_a_lighter_bucket_can_have_what_came_out_entered() -> None:
    yard, scale = yard_at_scale()
    yard.bucket_on()
    yard.pour("208 g")
    yard.press()
    scale.pour_at_once(-60_000)
    yard.wait(6.0)
    yard.press()
    assert yard.question.ask == "The scale shows 60 g less than the bucket should weigh by the entries."
    assert [choice.words for choice in yard.question.choices] == [
        "nothing came out: go on from what the scale shows",
        "something came out or was lost",
    ]
    yard.pick(menu_lines.OUT_LINE)
    yard.pick("Water")
    yard.press(typed="60 g")
    assert yard.run.content["water"] == pytest.approx(148_000, abs=GRAM + 100)
    mix(yard, hand=Hand(scale), verdict="too stiff")
    assert yard.run.content["water"] == pytest.approx(260_000, rel=0.02)


def test_an_overload_is_no_weight() -> None:
    yard, scale = yard_at_scale(settings=Settings(hands_free_s=1.0))
    yard.bucket_on()
    yard.pour("100 g")
    scale.put_mg(40_000_000)
    yard.wait(4.0)
    assert nothing_live(yard.view)
    assert "scale-fault" in yard.flags
    yard.press()
    assert yard.weights == []
    scale.put_mg(-40_000_000)
    yard.until(lambda view: view.scale.state == "steady")
    assert yard.view.pour is not None
    assert yard.view.pour.actual == "100 g"


def test_a_display_that_lags_is_not_taken_for_the_start_of_the_next_pour() -> None:
    yard, scale = yard_at_scale()
    yard.bucket_on()
    yard.pour("208 g")
    scale.freeze()
    yard.press()
    scale.pour_at_once(400_000)
    yard.wait(0.5)
    scale.thaw()
    yard.wait(6.0)
    references = [fact.gross_mg for fact in yard.facts if isinstance(fact, ReferenceTaken)]
    # Too heavy for the entries by then, so a person is asked.
    assert references == [pytest.approx(BUCKET_MG, abs=GRAM)]


def test_one_reading_books_one_addition() -> None:
    yard = Yard(split(), scale=EmulatedScale(QUIET, seed=6), settings=Settings(hands_free_s=0.5))
    assert yard.scale is not None
    yard.scale.put_mg(BUCKET_MG)
    mix(yard, hand=Hand(yard.scale), until=at_step("mix fast"))
    grosses = [fact.gross_mg for fact in yard.facts if isinstance(fact, WeightRecorded)]
    assert len(grosses) == len(set(grosses)) == 2


def test_a_heavier_bucket_is_not_gone_on_from_while_the_weight_moves() -> None:
    """What the question was asked about is not what the scale shows by now."""
    yard, scale = heavier()
    known = len(yard.facts)
    scale.pour(40_000, total_mg=200_000)
    yard.until(lambda view: view.scale.state == "moving")
    for line in (menu_lines.NOTHING_IN, menu_lines.PART_OF_DOSE):
        yard.pick(line)
        assert yard.view.notice == "Wait until the scale is steady, or type the weight."
    assert len(yard.facts) == known
    yard.wait(8.0)
    yard.press()
    assert yard.question.ask == "The scale shows 510 g more than the bucket should weigh by the entries."
    yard.pick(menu_lines.PART_OF_DOSE)
    assert yard.view.pour is not None
    assert yard.view.pour.actual == "510 g"
