"""What comes onto the scale between two pours: drops belong to the last dose, a scale that wanders pours nothing."""

import pytest

from mixstation.batch.events import WeightRecorded
from mixstation.scale.emulator import EmulatedScale, Make
from mixstation.station.bench import Settings
from tests.station.recipes import quick
from tests.station.yard import BUCKET_MG, Yard

GRAM = 1_000
WATER_MG, BLEND_MG = 832_000, 4_000_000


def poured(make: Make | None = None, hands_free_s: float = 2.0) -> tuple[Yard, EmulatedScale]:
    """832 g of water took itself; 4.000 kg of blend are asked for."""
    scale = EmulatedScale(make or Make(noise_mg=20.0), seed=4)
    yard = Yard(quick(), powder="8 kg", scale=scale, settings=Settings(hands_free_s=hands_free_s))
    yard.put_gear_on()
    yard.wait(2.0)
    scale.put_mg(BUCKET_MG)
    yard.wait(3.0)
    yard.press()
    scale.pour(200_000, total_mg=WATER_MG)
    if hands_free_s:
        yard.until(lambda view: bool(view.went_in))
    else:
        yard.wait(8.0)
    return yard, scale


@pytest.mark.parametrize("drip_mg", [3_000, 5_000, 9_000])
@pytest.mark.parametrize("after_s", [0.3, 2.0, 6.0])
def test_drops_after_the_dose_are_its_own(drip_mg: int, after_s: float) -> None:
    yard, scale = poured()
    yard.wait(after_s)
    scale.pour_at_once(drip_mg)
    yard.wait(4.0)
    assert yard.run.content["water"] == pytest.approx(WATER_MG + drip_mg, abs=2 * GRAM)
    (drip,) = [fact for fact in yard.facts if isinstance(fact, WeightRecorded) and fact.step is None]
    assert (drip.material, drip.reason) == ("water", "dripped in after the dose")
    assert yard.view.notice.endswith("Water dripped in after the dose: counted with it.")
    assert yard.question.ask.startswith("Pour 4.000 kg of Casting blend")
    scale.pour(800_000, total_mg=BLEND_MG)
    yard.until(lambda view: "/main/pour/" not in view.question.ident, limit_s=30)
    assert yard.run.content["blend"] == pytest.approx(BLEND_MG, abs=2 * GRAM)
    assert yard.run.in_bucket_mg == pytest.approx(sum(pour.mass_mg for pour in scale.poured), abs=3 * GRAM)


def test_a_scale_that_wanders_pours_nothing() -> None:
    """Ten grams in a hundred seconds, with nothing poured."""
    yard, scale = poured(Make(noise_mg=20.0, drift_mg_s=100.0))
    yard.wait(100.0)
    assert [fact.material for fact in yard.weights] == ["water"]
    assert yard.view.pour is not None
    assert yard.view.pour.fraction == pytest.approx(0.0, abs=0.001)
    scale.pour(800_000, total_mg=BLEND_MG)
    yard.until(lambda view: "/main/pour/" not in view.question.ident, limit_s=30)
    assert yard.run.content["blend"] == pytest.approx(BLEND_MG, abs=3 * GRAM)


def test_before_the_first_water_too() -> None:
    scale = EmulatedScale(Make(noise_mg=20.0, drift_mg_s=100.0), seed=4)
    yard = Yard(quick(), powder="8 kg", scale=scale, settings=Settings(hands_free_s=0))
    yard.bucket_on()
    yard.wait(100.0)
    scale.pour(200_000, total_mg=WATER_MG)
    yard.wait(10.0)
    yard.press()
    assert yard.run.content["water"] == pytest.approx(WATER_MG, abs=3 * GRAM)


@pytest.mark.parametrize("first_mg", [30_000, 400_000])
def test_the_beginning_of_a_pour_is_no_drop(first_mg: int) -> None:
    yard, scale = poured()
    yard.wait(3.0)
    scale.pour(100_000, total_mg=first_mg)
    yard.wait(6.0)
    assert yard.run.content["water"] == pytest.approx(WATER_MG, abs=2 * GRAM)
    assert yard.view.pour is not None
    assert yard.view.pour.fraction == pytest.approx(first_mg / BLEND_MG, abs=0.002)


def test_a_small_beginning_long_after_the_dose_is_a_pour() -> None:
    yard, scale = poured()
    yard.wait(15.0)
    scale.pour_at_once(6_000)
    yard.wait(5.0)
    assert yard.run.content["water"] == pytest.approx(WATER_MG, abs=2 * GRAM)
    assert yard.view.pour is not None
    assert yard.view.pour.actual == "6 g"


def test_taken_back_the_drops_alone_go() -> None:
    yard, scale = poured()
    yard.wait(2.0)
    scale.pour_at_once(6_000)
    yard.wait(4.0)
    yard.press("take-back")
    assert "dripped" in yard.question.choices[0].words or "6 g Water" in yard.question.choices[0].words
