"""What stands on the scale before a pour: nothing, another vessel, or the vessel only after the start reading."""

import pytest

from mixstation.batch.events import EntryTakenBack, ReferenceTaken, ScaleOnFile
from mixstation.plan.vessels import VesselOnFile
from mixstation.scale.emulator import Display, EmulatedScale, Make
from mixstation.station.bench import Settings
from mixstation.units.parse import parse_mass_mg
from tests.station.recipes import quick, split
from tests.station.yard import BUCKET_MG, QUIET, Yard

GRAM = 1_000
SLOW = Make(noise_mg=20.0, lag_s=0.45)
HANDS_FREE = Settings(hands_free_s=1.0)
PAIL = VesselOnFile(name="", kind="bucket", empty_mg=BUCKET_MG)
WHITE_TUB = VesselOnFile(name="white tub", kind="tub", empty_mg=310_000)


def yard_of(
    make: Make = QUIET,
    *,
    weighing: str = "bucket",
    vessels: tuple[VesselOnFile, ...] = (),
    powder: str = "4 kg",
) -> tuple[Yard, EmulatedScale]:
    scale = EmulatedScale(make, seed=1)
    yard = Yard(
        quick() if weighing != "tub" else split(),
        powder,
        scale=scale,
        weighing=weighing,  # type: ignore[arg-type]
        settings=HANDS_FREE,
        vessels=vessels,
    )
    yard.put_gear_on()
    yard.until(lambda view: view.scale.state == "steady")
    return yard, scale


def asks(yard: Yard) -> str:
    """Which question is asked: the first word of its ident behind the turn."""
    return yard.question.ident.split("/")[1]


def stands(yard: Yard, scale: EmulatedScale, mass_mg: int) -> None:
    """Set something down and let the scale come to rest, far longer than it takes for a weight to take itself."""
    scale.put_mg(mass_mg)
    yard.wait(8.0)


@pytest.mark.parametrize("weighing", ["bucket", "tub", "supply"])
def test_a_start_reading_of_nothing_is_asked_about(weighing: str) -> None:
    yard, scale = yard_of(weighing=weighing)
    yard.press()
    assert asks(yard) == "start-doubted"
    assert yard.question.ask == f"The scale shows 0 g: the {weighing} is not on it."
    assert not yard.run.references
    # Whoever puts it right is not kept by the question.
    stands(yard, scale, 9_000_000 if weighing == "supply" else 830_000)
    assert asks(yard) == "main"
    yard.press()
    (reference,) = yard.run.references.values()
    assert reference.gross_mg == pytest.approx(9_000_000 if weighing == "supply" else 830_000, abs=GRAM)


@pytest.mark.parametrize("make", [QUIET, SLOW])
@pytest.mark.parametrize("before_mg", [0, 60_000])
@pytest.mark.parametrize("bucket_mg", [410_000, 830_000, 1_200_000])
def test_a_bucket_set_down_after_the_start_reading_is_no_water(
    make: Make, before_mg: int, bucket_mg: int
) -> None:
    yard, scale = yard_of(make)
    stands(yard, scale, before_mg)
    yard.press()
    assert asks(yard) == "start-doubted"
    yard.pick("weighs that" if before_mg else "set to zero")
    stands(yard, scale, bucket_mg)
    assert asks(yard) == "set-down"
    assert yard.weights == []
    # To go back answers nothing: Enter asks again.
    yard.press("back")
    yard.wait(5.0)
    yard.press()
    assert asks(yard) == "set-down"
    yard.pick("only now set down")
    assert yard.weights == []
    assert yard.view.pour is not None
    assert yard.view.pour.cue == "pour"
    yard.pour("416 g")
    yard.wait(3.0)
    (water,) = yard.weights
    assert water.mass_mg == pytest.approx(416_000, abs=2 * GRAM)
    assert water.gross_mg == pytest.approx(before_mg + bucket_mg + 416_000, abs=2 * GRAM)
    yard.wait(3.0)
    assert not {"bucket-heavier", "bucket-lighter"} & yard.flags


def test_a_bucket_that_stood_there_when_the_program_came_back_is_asked_about() -> None:
    yard, scale = yard_of()
    yard.press()
    yard.pick("set to zero")
    scale.put_mg(416_000)
    yard.come_back()
    yard.wait(8.0)
    assert yard.weights == []
    assert asks(yard) == "set-down"


def test_a_scale_set_to_zero_with_the_bucket_on_it_is_poured_on_without_another_question() -> None:
    yard, _ = yard_of()
    yard.press()
    yard.pick("the bucket is on, and the scale was set to zero with it")
    yard.pour("416 g", seconds=4)
    yard.wait(4.0)
    (water,) = yard.weights
    assert water.mass_mg == pytest.approx(416_000, abs=2 * GRAM)


def test_all_of_it_in_at_once_is_believed_on_a_yes_and_then_taken() -> None:
    yard, scale = yard_of()
    yard.press()
    yard.pick("set to zero")
    scale.pour_at_once(416_000)
    yard.wait(4.0)
    yard.pick("it all went in at once")
    (water,) = yard.weights
    assert water.mass_mg == pytest.approx(416_000, abs=2 * GRAM)


def test_ten_times_the_dose_in_at_once_is_asked_about_as_such_too() -> None:
    yard, scale = yard_of()
    yard.press()
    yard.pick("set to zero")
    scale.pour_at_once(1_200_000)
    yard.wait(4.0)
    yard.pick("it all went in at once")
    assert yard.weights == []
    assert asks(yard) == "confirm"
    assert "over the ceiling" in yard.question.ask


def test_a_pour_onto_a_bucket_that_was_on_is_never_asked_about() -> None:
    yard, scale = yard_of()
    stands(yard, scale, BUCKET_MG)
    yard.press()
    scale.pour_at_once(416_000)
    yard.wait(4.0)
    assert [weight.mass_mg for weight in yard.weights] == [pytest.approx(416_000, abs=2 * GRAM)]


def test_a_start_reading_like_the_bucket_on_file_goes_through_and_another_is_asked_about() -> None:
    yard, scale = yard_of(vessels=(PAIL,))
    stands(yard, scale, 830_000)
    yard.press()
    assert yard.question.ask == "The scale shows 830 g: by your settings the bucket shows 1.240 kg."
    assert not yard.run.references
    scale.put_mg(BUCKET_MG - 830_000)
    yard.wait(4.0)
    assert asks(yard) == "main"
    yard.press()
    assert yard.run.references
    # Known by its weight: even what falls in at once is a pour.
    scale.pour_at_once(416_000)
    yard.wait(4.0)
    assert len(yard.weights) == 1


def test_an_unlike_bucket_may_be_so_all_the_same() -> None:
    yard, scale = yard_of(vessels=(PAIL,))
    stands(yard, scale, 830_000)
    yard.press()
    yard.pick("it weighs that")
    (reference,) = yard.run.references.values()
    assert reference.gross_mg == pytest.approx(830_000, abs=GRAM)


def test_the_bucket_on_file_is_looked_for_with_what_was_typed_into_it() -> None:
    yard, scale = yard_of(vessels=(PAIL,))
    yard.press(typed="416 g")
    stands(yard, scale, BUCKET_MG)
    yard.press()
    assert yard.question.ask == "The scale shows 1.240 kg: by your settings the bucket shows 1.656 kg."
    scale.put_mg(416_000)
    yard.wait(4.0)
    yard.press()
    assert yard.run.references


def test_a_bucket_of_another_size_is_another_bucket() -> None:
    small = VesselOnFile(name="small pail", kind="bucket", empty_mg=620_000, volume_l=12.0)
    yard, scale = yard_of(
        vessels=(VesselOnFile(name="", kind="bucket", empty_mg=BUCKET_MG, volume_l=30.0), small)
    )
    stands(yard, scale, 620_000)
    yard.press()
    assert yard.question.ask == "The scale shows 620 g: that is what the bucket “small pail” weighs."


def test_a_start_reading_is_taken_back_like_any_entry() -> None:
    yard, scale = yard_of()
    stands(yard, scale, BUCKET_MG)
    yard.press()
    yard.press("take-back")
    yard.pick("the bucket on the scale: 1.240 kg")
    yard.press(typed="1")
    assert not yard.run.references
    assert yard.question.enter == "bucket is on"
    # The next one is the mixer's to give, though the bucket stands there.
    yard.wait(5.0)
    assert not yard.run.references
    yard.press()
    assert yard.run.references


def test_a_weight_booked_from_a_wrong_start_reading_goes_with_it() -> None:
    yard, scale = yard_of()
    yard.press()
    yard.pick("set to zero")
    scale.put_mg(416_000)
    yard.wait(4.0)
    yard.pick("it all went in at once")
    assert len(yard.weights) == 1
    yard.press("take-back")
    yard.pick("the bucket on the scale: 0 g")
    yard.press(typed="1")
    assert yard.weights == []
    assert yard.run.finished == frozenset()
    assert not yard.run.references
    yard.press()
    yard.pour("416 g")
    yard.wait(4.0)
    assert [weight.mass_mg for weight in yard.weights] == [pytest.approx(416_000, abs=2 * GRAM)]
    assert not {"bucket-heavier", "bucket-lighter"} & yard.flags


def test_a_bucket_that_was_not_on_is_no_dead_end_later() -> None:
    yard, scale = yard_of()
    yard.press()
    yard.pick("set to zero")
    yard.press(typed="416 g")
    stands(yard, scale, BUCKET_MG + 416_000)
    assert yard.view.scale.text
    yard.press()
    assert asks(yard) == "bucket-differs"
    yard.pick("the bucket was not on before")
    void = [fact for fact in yard.facts if isinstance(fact, EntryTakenBack)]
    assert len(void) == 1
    (reference,) = (entry.fact for entry in yard.run.live if isinstance(entry.fact, ReferenceTaken))
    assert reference.gross_mg == pytest.approx(BUCKET_MG + 416_000, abs=GRAM)
    yard.pour("2 kg", seconds=8)
    yard.wait(4.0)
    assert len(yard.weights) == 2
    assert not {"bucket-heavier", "bucket-lighter"} & yard.flags


def test_the_full_bucket_is_no_tub_and_no_supply() -> None:
    for weighing in ("tub", "supply"):
        yard, scale = yard_of()
        stands(yard, scale, BUCKET_MG)
        yard.press()
        yard.pour("416 g")
        yard.wait(4.0)
        yard.press("menu")
        yard.pick("weigh another way")
        yard.pick("tub" if weighing == "tub" else "supply")
        yard.wait(4.0)
        yard.press()
        assert asks(yard) == "start-doubted"
        assert yard.question.ask == "The scale shows 1.656 kg: that can be the bucket with what is in it."
        scale.put_mg(parse_mass_mg("310 g" if weighing == "tub" else "9 kg") - scale.load_mg)
        yard.wait(4.0)
        yard.press()
        assert asks(yard) == "main"
        assert yard.run.references


def test_the_full_bucket_is_no_tub_though_it_was_never_weighed() -> None:
    yard, scale = yard_of(weighing="tub", powder="6 kg")
    for typed in ("780 g", "3 kg"):
        yard.press(typed=typed)
    stands(yard, scale, 3_780_000 + 1_240_000)
    yard.press()
    assert yard.question.ask == "The scale shows 5.020 kg: that can be the bucket with what is in it."
    scale.put_mg(310_000 - scale.load_mg)
    yard.wait(4.0)
    yard.press()
    assert yard.question.enter == "tub is full"


def test_a_bucket_lighter_than_any_is_asked_about_and_set_down_later_in_two_steps_it_is_no_water() -> None:
    yard, scale = yard_of()
    stands(yard, scale, 150_000)
    yard.press()
    assert yard.question.ask == "The scale shows 150 g: the bucket is not on it."
    scale.put_mg(300_000)
    yard.wait(3.0)
    scale.put_mg(530_000)
    yard.wait(5.0)
    assert yard.weights == []
    assert yard.question.enter == "bucket is on"


def test_a_supply_with_less_in_it_than_is_to_come_from_it_is_asked_about() -> None:
    yard, scale = yard_of(weighing="supply")
    stands(yard, scale, 300_000)
    yard.press()
    assert yard.question.ask == "The supply weighs 300 g: 416 g is to come from it."
    yard.pick("it weighs that")
    assert yard.run.references


def test_a_supply_set_down_after_its_start_reading_is_begun_from() -> None:
    yard, scale = yard_of(weighing="supply")
    yard.press()
    yard.pick("set to zero")
    stands(yard, scale, 9_000_000)
    assert asks(yard) == "set-down"
    yard.pick("the supply was only now set down")
    scale.pour(-100_000, total_mg=416_000)
    yard.wait(9.0)
    assert [weight.mass_mg for weight in yard.weights] == [pytest.approx(416_000, abs=2 * GRAM)]


def test_a_tub_on_file_is_known_and_one_that_is_not_is_asked_about_once() -> None:
    yard, scale = yard_of(weighing="tub", vessels=(WHITE_TUB,), powder="2 kg")
    stands(yard, scale, 240_000)
    yard.press()
    assert yard.question.ask == "The scale shows 240 g: by your settings an empty tub shows 310 g."
    scale.put_mg(70_000)
    yard.wait(4.0)
    yard.press()
    assert yard.question.enter == "tub is full"


def test_a_tub_set_down_after_the_start_reading_is_no_filling() -> None:
    yard, scale = yard_of(weighing="tub", powder="2 kg")
    yard.press()
    yard.pick("set to zero")
    stands(yard, scale, 260_000)
    assert asks(yard) == "set-down"
    assert yard.run.tub is None
    yard.pick("the tub was only now set down")
    assert yard.question.enter == "tub is full"
    yard.pour("260 g")
    yard.wait(3.0)
    assert yard.run.tub is not None
    assert yard.run.tub.mass_mg == pytest.approx(260_000, abs=2 * GRAM)


def test_the_vessels_on_file_outlast_a_kill() -> None:
    yard, scale = yard_of(vessels=(PAIL,))
    yard.come_back()
    stands(yard, scale, 830_000)
    yard.press()
    assert yard.question.ask == "The scale shows 830 g: by your settings the bucket shows 1.240 kg."


def test_a_scale_that_steps_in_fives_keeps_that_step_in_its_start_reading() -> None:
    fives = Make(noise_mg=20.0, displays=(Display(unit="kg", decimals=3, step=5),))
    scale = EmulatedScale(fives, seed=1)
    on_file = ScaleOnFile(name="floor", capacity_mg=60_000_000, division_mg=5_000)
    yard = Yard(quick(), "4 kg", scale=scale, settings=HANDS_FREE, on_file=on_file)
    yard.put_gear_on()
    stands(yard, scale, BUCKET_MG)
    yard.press()
    assert [reference.division_mg for reference in yard.run.references.values()] == [5_000]
    yard.pour("415 g")
    yard.wait(3.0)
    assert len(yard.weights) == 1
    yard.wait(5.0)
    # The next start reading came by itself.
    assert [reference.division_mg for reference in yard.run.references.values()] == [5_000]
    assert "scale-unit-changed" not in yard.flags


def test_a_slow_pour_onto_a_scale_that_was_empty_is_not_mistaken_for_a_bucket() -> None:
    """A jug of half a litre a second is the fastest that is poured by a cue."""
    for mass, seconds in (("416 g", 1.4), ("832 g", 2.5)):
        yard, _ = yard_of(powder="4 kg" if mass == "416 g" else "8 kg")
        yard.press()
        yard.pick("set to zero")
        yard.pour(mass, seconds=seconds)
        yard.wait(4.0)
        assert len(yard.weights) == 1, mass
