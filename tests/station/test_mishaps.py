"""What goes wrong at the bucket, each ending in the right numbers."""

from fractions import Fraction

import pytest

from mixstation.batch.advice import stand
from mixstation.batch.events import MaterialRemoved, ReferenceTaken, SupplyRanOut, WayTaken
from mixstation.scale.emulator import EmulatedScale
from mixstation.station.bench import Settings
from mixstation.station.by_itself import FRESH_COUNT
from mixstation.units.parse import parse_mass_mg
from mixstation.wording import menu_lines
from tests.station.mixer import Hand, at_step, mix
from tests.station.recipes import quick, split
from tests.station.yard import BUCKET_MG, QUIET, Yard

WAYS = menu_lines.WAYS_ASK


def ratio(yard: Yard) -> Fraction:
    return Fraction(yard.run.content["water"], yard.run.content["blend"])


def in_band(yard: Yard) -> bool:
    rule = yard.run.recipe.water
    return rule.least <= ratio(yard) <= rule.most


def target_mg(yard: Yard) -> int:
    assert yard.view.pour is not None
    return parse_mass_mg(yard.view.pour.target)


def takes_first_way(yard: Yard) -> WayTaken:
    """Take the first way offered and give it back as it was stored."""
    yard.press(typed="1")
    fact = yard.facts[-1]
    assert isinstance(fact, WayTaken)
    return fact


def test_a_first_share_two_fifths_over_brings_up_the_ways_out_and_one_ends_in_band() -> None:
    # All the water in one share, so that what is over is over for good.
    yard = Yard(split())
    yard.put_gear_on()
    yard.press(typed=f"{target_mg(yard) * 14 // 10 / 1e6:.3f} kg")
    assert yard.question.ident.endswith("confirm")
    yard.press()
    assert yard.question.ask == WAYS
    assert yard.question.choices[0].words
    way = takes_first_way(yard)
    assert way.gives_up == ()
    mix(yard)
    assert yard.run.ended == "finished"
    assert in_band(yard)
    assert not any(flag.code.startswith("water") for flag in stand(yard.run, 1_000).flags)


def test_water_over_is_poured_back_with_the_bucket_on_the_scale() -> None:
    yard = Yard(split(), scale=EmulatedScale(QUIET, seed=1))
    assert yard.scale is not None
    yard.bucket_on()
    yard.pour(f"{target_mg(yard) * 14 // 10} mg")
    assert yard.view.pour is not None
    assert yard.view.pour.cue == "over"
    yard.press()
    assert yard.question.ident.endswith("confirm")
    yard.press()
    assert yard.question.ask == WAYS
    assert takes_first_way(yard).way == "pour-back"
    yard.until(lambda view: view.pour is not None and view.pour.fraction is not None)
    assert yard.question.ask == "Pour 104 g of Water back."
    mix(yard, hand=Hand(yard.scale))
    assert yard.run.ended == "finished"
    assert in_band(yard)


def test_after_pouring_back_a_lagging_scale_is_looked_at_anew_before_the_next_start_reading() -> None:
    yard = Yard(split(), scale=EmulatedScale(QUIET, seed=1))
    assert yard.scale is not None
    yard.bucket_on()
    yard.pour(f"{target_mg(yard) * 14 // 10} mg")
    yard.press()
    yard.press()
    assert takes_first_way(yard).way == "pour-back"
    yard.until(lambda view: view.pour is not None and view.pour.fraction is not None)
    yard.scale.pour(-50_000, total_mg=-104_000)
    yard.wait(4.0)
    yard.until(lambda view: view.scale.state == "steady")
    known = len(yard.facts)
    booked = yard.session._work.scene.live
    assert booked is not None
    yard.press()
    assert any(isinstance(fact, MaterialRemoved) for fact in yard.facts[known:])
    yard.until(lambda _: isinstance(yard.facts[-1], ReferenceTaken))
    looked = yard.session._work.scene.live
    assert looked is not None
    assert looked.serial >= booked.serial + FRESH_COUNT


@pytest.mark.parametrize("goal", ["nearest", "least-added"])
def test_water_that_went_in_late_is_outgrown_with_powder_on_the_scale(goal: str) -> None:
    yard = Yard(split(), scale=EmulatedScale(QUIET, seed=1))
    assert yard.scale is not None
    yard.scale.put_mg(BUCKET_MG)
    hand = Hand(yard.scale)
    mix(yard, hand=hand, until=at_step("mix fast"))
    yard.scale.pour_at_once(100_000)
    yard.press("trouble")
    yard.pick(menu_lines.UNRECORDED_LINE)
    yard.pick("Water")
    yard.press(typed="100 g")
    yard.press()
    assert yard.question.ask == WAYS
    goals = [(way.kind, way.goal) for way in yard.session._ways or ()]
    yard.press(typed=str(goals.index(("grow", goal)) + 1))
    mix(yard, hand=hand)
    assert yard.run.ended == "finished"
    assert in_band(yard)
    assert yard.run.content["blend"] > 1_700_000
    assert "bucket-heavier" not in yard.flags


def test_over_within_the_total_is_mended_by_the_later_shares_and_nothing_is_asked() -> None:
    yard = Yard(quick())
    yard.put_gear_on()
    first_mg = target_mg(yard)
    yard.press(typed=f"{first_mg * 11 // 10 / 1e6:.3f} kg")
    assert yard.question.ask.startswith("Weigh 1.000 kg of Casting blend")
    assert not yard.question.grave
    mix(yard, verdict="too stiff")
    assert ratio(yard) == yard.run.recipe.water.target
    assert yard.flags == set()


def test_a_first_share_that_is_all_the_water_needs_no_more() -> None:
    yard = Yard(quick())
    yard.put_gear_on()
    yard.press(typed="0.260 kg")
    mix(yard, verdict="too stiff")
    assert yard.run.ended == "finished"
    assert yard.run.content["water"] == 260_000


def test_a_powder_share_over_is_mended_by_the_next_one() -> None:
    yard = Yard(quick())
    mix(yard, until=at_step("Casting blend"))
    yard.press(typed="1.3 kg")
    mix(yard, until=lambda view: view.question.ask.startswith("Weigh") and "blend" in view.question.ask)
    assert target_mg(yard) == 700_000
    mix(yard, verdict="too stiff")
    assert yard.run.content["blend"] == 2_000_000


def test_while_it_is_over_the_first_way_out_is_on_screen_before_anything_is_booked() -> None:
    yard = Yard(split(), scale=EmulatedScale(QUIET, seed=2))
    yard.bucket_on()
    before = yard.question.detail
    yard.pour(f"{target_mg(yard) * 13 // 10} mg")
    assert len(yard.question.detail) == len(before) + 1
    assert yard.question.detail[0] not in before
    assert yard.weights == []


@pytest.mark.parametrize("booked_first", [True, False])
def test_a_bag_that_runs_out_while_pouring_shrinks_everything_after_it(booked_first: bool) -> None:
    yard = Yard(quick(), scale=EmulatedScale(QUIET, seed=3))
    assert yard.scale is not None
    yard.scale.put_mg(BUCKET_MG)
    hand = Hand(yard.scale)
    mix(yard, hand=hand, until=lambda view: "step 4" in view.place)
    yard.until(lambda view: view.pour is not None and view.pour.fraction is not None)
    yard.pour("700 g")
    if booked_first:
        yard.press()
    yard.press("trouble")
    yard.pick(menu_lines.RAN_OUT_LINE)
    yard.pick("Casting blend")
    assert yard.question.ask == WAYS
    assert any(isinstance(fact, SupplyRanOut) for fact in yard.facts)
    blend = yard.run.content["blend"]
    poured_mg = sum(pour.mass_mg for pour in yard.scale.poured)
    assert abs(yard.run.in_bucket_mg - poured_mg) <= 3 * 1_100
    assert takes_first_way(yard).way == "shrink"
    mix(yard, hand=hand, verdict="too stiff")
    assert yard.run.ended == "finished"
    assert yard.run.content["blend"] == blend
    assert in_band(yard)
    low, high = Fraction(26, 1000), Fraction(30, 1000)
    assert low <= yard.run.content["fibre"] / yard.run.in_bucket_mg <= high


def test_a_second_mishap_of_the_same_kind_brings_the_ways_up_again() -> None:
    yard = Yard(quick())
    yard.put_gear_on()
    yard.press(typed="0.3 kg")
    assert yard.question.ask == WAYS
    takes_first_way(yard)
    mix(yard, until=lambda view: "Take" in view.question.ask or view.question.grave or at_step("blend")(view))
    yard.press("add-else")
    yard.pick("Water")
    yard.press(typed="0.2 kg")
    if yard.question.ident.endswith("confirm"):
        yard.press()
    assert yard.question.ask == WAYS


def test_ways_that_came_up_by_themselves_come_up_again_after_the_program_was_cut_off() -> None:
    yard = Yard(split())
    yard.put_gear_on()
    yard.press(typed=f"{target_mg(yard) * 14 // 10 / 1e6:.3f} kg")
    yard.press()
    before = yard.question
    assert before.ask == WAYS
    yard.come_back()
    assert yard.question == before


def test_an_entry_taken_back_is_not_booked_again_by_itself() -> None:
    yard = Yard(split(), scale=EmulatedScale(QUIET, seed=4), settings=Settings(hands_free_s=1.0))
    yard.bucket_on()
    yard.pour("258 g")
    yard.until(lambda view: bool(view.went_in), limit_s=10)
    yard.press("take-back")
    yard.press(typed="1")
    yard.press(typed="2")
    assert yard.weights == []
    yard.wait(5.0)
    assert yard.weights == []
