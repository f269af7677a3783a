"""A bucket scale in steps of 5 g, a fine one of 0.1 g on file: the pigment is weighed on the fine one and typed."""

import re
from fractions import Fraction

import pytest

from mixstation.account.batch_record import batch_record
from mixstation.account.markdown import as_markdown
from mixstation.batch.events import BatchFinished, ReferenceTaken, ScaleOnFile, WeighedApart, Weighing
from mixstation.scale.emulator import Display, EmulatedScale, Make
from mixstation.station.bench import Settings
from mixstation.station.view import View
from mixstation.units.show import DisplayUnits
from tests.station.mixer import Hand, at_step, mix
from tests.station.recipes import slate
from tests.station.yard import BUCKET_MG, Yard

STEP_MG, FINE_MG = 5_000, 100
FLOOR = Make(noise_mg=100.0, displays=(Display(unit="kg", decimals=3, step=5),))
ON_FILE = ScaleOnFile(name="floor", capacity_mg=30_000_000, division_mg=STEP_MG)
FINE = (
    WeighedApart(material="slate", scale="fine", division_mg=FINE_MG),
    WeighedApart(material="fibre", scale="fine", division_mg=FINE_MG),
)


def begun(
    *apart: WeighedApart, weighing: Weighing = "bucket", hands_free_s: float = 0.0
) -> tuple[Yard, EmulatedScale]:
    scale = EmulatedScale(FLOOR, seed=4)
    settings = Settings(hands_free_s=hands_free_s)
    yard = Yard(
        slate(),
        "4 kg",
        scale=scale,
        settings=settings,
        weighing=weighing,
        weighed_apart=apart,
        on_file=ON_FILE,
    )
    return yard, scale


def asks_for_slate(view: View) -> bool:
    return at_step("Slate")(view) and not view.question.grave


def at_slate(hands_free_s: float = 0.0) -> tuple[Yard, EmulatedScale, Hand]:
    yard, scale = begun(*FINE, hands_free_s=hands_free_s)
    scale.put_mg(BUCKET_MG)
    hand = Hand(scale)
    mix(yard, hand=hand, verdict="too stiff", until=asks_for_slate)
    yard.until(lambda view: view.scale.state == "steady")
    return yard, scale, hand


def tipped_in(yard: Yard, scale: EmulatedScale, mass: str) -> View:
    """Weighed on the other scale, tipped into the bucket, typed."""
    scale.pour_at_once(round(float(mass) * 1000))
    yard.wait(3.0)
    return yard.press(typed=mass)


def test_a_whole_batch_with_what_is_too_small_typed_from_the_fine_scale() -> None:
    yard, scale, hand = at_slate()
    view = yard.view
    blend_mg = yard.run.content["blend"]
    target = f"{float(round(blend_mg * Fraction(132, 10_000) / FINE_MG) * FINE_MG) / 1000:.1f}"
    assert view.question.ask == f"Weigh {target} g of Slate pigment on “fine”, tip it in, type what it shows."
    assert view.question.unit_word == "grams"
    assert view.figure is not None
    assert view.figure.plain == f"weigh in {target} g"
    assert view.pour is not None
    assert (view.pour.target, view.pour.place, view.pour.fraction) == (f"{target} g", "unsure", None)
    assert next(line.amount for line in view.to_come if line.mark == "now") == f"{target} g"

    view = tipped_in(yard, scale, target)
    assert view.notice.startswith(f"{target} g Slate pigment")
    assert view.went_in[-1].amount == f"{target} g"
    # The fibre comes from the same scale; the bucket scale is asked for no start reading in between.
    assert " of AR glass fibre on “fine”" in view.question.ask
    assert view.figure is not None
    tipped_in(yard, scale, view.figure.number)
    assert "bucket-heavier" not in yard.flags
    mix(yard, hand=hand, verdict="right")

    weights = {weight.material: weight for weight in yard.weights}
    assert (weights["slate"].source, weights["slate"].division_mg) == ("typed", FINE_MG)
    assert weights["slate"].mass_mg == round(float(target) * 1000)
    assert weights["blend"].division_mg == STEP_MG
    assert not yard.flags & {
        "dose-small-for-scale",
        "dose-below-division",
        "bucket-heavier",
        "bucket-lighter",
    }
    assert isinstance(yard.facts[-1], BatchFinished)
    assert yard.stored() == yard.run
    # What the scale has on it in the end is what was entered.
    poured_mg = sum(pour.mass_mg for pour in scale.poured)
    assert abs(yard.run.in_bucket_mg - poured_mg) <= len(yard.weights) * 2 * STEP_MG

    record = batch_record(yard.run.entries, DisplayUnits.METRIC)
    (pigment,) = (each for each in record["materials"] if each["key"] == "slate")
    assert (pigment["went_in"], pigment["place"]) == (f"{target} g", "inside")
    assert pigment["target"].endswith(" g")
    assert abs(float(pigment["target"].removesuffix(" g")) - float(target)) <= 0.1
    assert record["scale"]["divisions_read"] == ["5 g"]
    assert record["scale"]["beside"] == [
        {"material": "Slate pigment", "scale": "fine", "division": "0.1 g"},
        {"material": "AR glass fibre", "scale": "fine", "division": "0.1 g"},
    ]
    (told,) = (
        each for each in record["entries"] if each["kind"] == "weight-recorded" and "Slate" in each["said"]
    )
    assert told["said"] == f"{target} g Slate pigment in (typed, “fine”)"
    assert told["target"] == f"{target} g"
    assert "Slate pigment on “fine”" in as_markdown(record)


def test_the_bucket_is_still_checked_after_what_was_typed() -> None:
    """Ninety grams too many went in with the pigment: the bucket says so before the next pour it weighs."""
    yard, scale = begun(FINE[0])
    scale.put_mg(BUCKET_MG)
    mix(yard, hand=Hand(scale), verdict="too stiff", until=asks_for_slate)
    yard.until(lambda view: view.scale.state == "steady")
    figure = yard.view.figure
    assert figure is not None
    scale.pour_at_once(round(float(figure.number) * 1000) + 90_000)
    yard.wait(3.0)
    yard.press(typed=figure.number)
    yard.wait(3.0)
    yard.press()
    more = re.fullmatch(
        r"The scale shows (\d+) g more than the bucket should weigh by the entries\.", yard.question.ask
    )
    assert more is not None
    assert abs(int(more[1]) - 90) <= 2 * STEP_MG / 1000


def test_the_next_start_reading_fits_by_itself() -> None:
    yard, scale = begun(FINE[0])
    scale.put_mg(BUCKET_MG)
    mix(yard, hand=Hand(scale), verdict="too stiff", until=asks_for_slate)
    yard.until(lambda view: view.scale.state == "steady")
    figure = yard.view.figure
    assert figure is not None
    tipped_in(yard, scale, figure.number)
    yard.until(lambda view: view.question.ask.startswith("Pour ") and "glass fibre" in view.question.ask)


def test_the_coarse_reading_is_never_taken_by_itself() -> None:
    yard, scale, _ = at_slate(hands_free_s=2.0)
    before = len(yard.weights)
    scale.pour_at_once(52_800)
    yard.wait(30.0)
    assert len(yard.weights) == before
    assert not yard.run.references


def test_enter_alone_says_why_not_and_how_it_goes_all_the_same() -> None:
    yard, scale, _ = at_slate(hands_free_s=2.0)
    asked = yard.question.ask
    assert yard.question.enter == "by this scale instead"
    yard.press()
    assert yard.question.ask == (
        "Slate pigment: too small a dose for this scale, in steps of 5 g. Go back to weigh it on “fine”."
    )
    yard.press("back")
    assert yard.question.ask == asked
    yard.press()
    yard.pick("pour it by this scale all the same")
    assert yard.question.ask == "Pour 55 g of Slate pigment into the bucket."
    assert "dose-small-for-scale" in yard.flags
    scale.pour_at_once(55_000)
    # Poured by it, it is still too coarse to be taken without a word.
    yard.wait(30.0)
    assert at_step("Slate")(yard.view)
    yard.press()
    (weight,) = (each for each in yard.weights if each.material == "slate")
    assert (weight.source, weight.division_mg) == ("scale", STEP_MG)


def test_all_the_same_waits_for_the_scale_to_stand() -> None:
    yard, scale, _ = at_slate()
    yard.press()
    scale.pour(40_000, total_mg=200_000)
    yard.wait(2.0)
    yard.pick("pour it by this scale")
    assert "steady" in yard.view.notice
    assert not any(isinstance(fact, ReferenceTaken) and fact.step == "10" for fact in yard.facts)


@pytest.mark.parametrize("weighing", ["tub", "supply"])
def test_with_another_vessel_it_is_asked_for_in_the_same_words(weighing: Weighing) -> None:
    yard, _ = begun(*FINE, weighing=weighing)
    yard.put_gear_on()
    yard.until(lambda view: view.scale.state == "steady")
    mix(yard, until=asks_for_slate, verdict="right")
    assert "g of Slate pigment on “fine”" in yard.question.ask
    figure = yard.view.figure
    assert figure is not None
    yard.press(typed=figure.number)
    assert yard.weights[-1].division_mg == FINE_MG
    assert yard.weights[-1].weighing is None


def test_typed_without_a_scale_the_fine_one_is_named_too() -> None:
    yard = Yard(slate(), "4 kg", weighed_apart=FINE, on_file=ON_FILE)
    mix(yard, until=asks_for_slate, verdict="too stiff")
    assert yard.question.ask == "Weigh 52.8 g of Slate pigment on “fine”, tip it in, type what it shows."
    assert yard.question.enter == ""
    mix(yard, verdict="right")
    divisions = {weight.material: weight.division_mg for weight in yard.weights}
    assert divisions == {"water": STEP_MG, "blend": STEP_MG, "slate": FINE_MG, "fibre": FINE_MG}
    assert yard.flags == set()


def test_a_slip_is_asked_about_in_the_steps_of_the_fine_scale() -> None:
    yard = Yard(slate(), "4 kg", weighed_apart=FINE, on_file=ON_FILE)
    mix(yard, until=asks_for_slate, verdict="too stiff")
    yard.press(typed="5.3")
    assert yard.question.ask.startswith("5.3 g is far under the 52.8 g asked for.")
