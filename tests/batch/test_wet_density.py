"""A cup of mix: what it tells by hand, and what is no cup and no mix."""

from dataclasses import replace
from fractions import Fraction

import pytest

from mixstation.batch.commands import MeasureDensity
from mixstation.batch.events import DensityMeasured
from mixstation.batch.wet_density import wet_density
from tests.batch.making import blend, weight
from tests.batch.recipes import BLEND, kg

CUP = DensityMeasured(mass_mg=1_000_000, cup_ul=500_000, source="typed", shown="1000 g", division_mg=1000)
CONTENT = {"water": Fraction(kg("2.376")), "blend": Fraction(kg(18)), "fibre": Fraction(kg("0.544"))}


def computed_l() -> float:
    """Absolute volumes by hand, without air."""
    of = BLEND.material
    return sum(float(mass) / 1e6 / of(key).density_kg_m3 * 1000 for key, mass in CONTENT.items())


def test_air_and_yield_by_hand() -> None:
    """1 kg in 0.5 l is 2000 kg/m³; air (T − D)/T and yield M/D as in ASTM C138 [mem]."""
    made_mg = sum(CONTENT.values(), Fraction(0))
    found = wet_density(BLEND, CONTENT, CUP, made_mg)
    assert found is not None
    air_free_kg_m3 = float(made_mg) / 1e6 / computed_l() * 1000
    assert found.measured_kg_m3 == pytest.approx(2000)
    assert found.air_fraction == pytest.approx((air_free_kg_m3 - 2000) / air_free_kg_m3)
    assert found.made_l == pytest.approx(float(made_mg) / 1e6 / 2)
    designed_l = computed_l() / (1 - float(BLEND.air_fraction))
    assert found.yield_ratio == pytest.approx(found.made_l / designed_l)
    # Two readings of 1 g: 2/√6 g in half a litre.
    assert found.expanded_kg_m3 == pytest.approx(2 / 6**0.5 / 0.5)


def test_heavier_than_without_air_has_no_air_to_tell() -> None:
    found = wet_density(BLEND, CONTENT, replace(CUP, mass_mg=1_300_000), Fraction(kg(20)))
    assert found is not None
    assert found.air_fraction is None


def test_of_an_empty_bucket_a_cup_tells_nothing() -> None:
    assert wet_density(BLEND, dict.fromkeys(CONTENT, Fraction(0)), CUP, Fraction(0)) is None


@pytest.mark.parametrize(
    ("cup_ml", "mass_g", "code"),
    [
        (49.9, 100, "cup-size"),
        (20_001, 40_000, "cup-size"),
        (500, 499, "no-mix-density"),
        (500, 1_501, "no-mix-density"),
        (500, 0, "no-mix-density"),
    ],
)
def test_what_is_no_cup_or_no_mix_is_refused(cup_ml: float, mass_g: int, code: str) -> None:
    bench = blend().goes_to("cover")
    refusal = bench.refuses(MeasureDensity(cup_ul=round(1000 * cup_ml), weight=weight(mass_g * 1000)))
    assert refusal.code == code


@pytest.mark.parametrize(("cup_ml", "mass_g"), [(50, 50), (500, 500), (500, 1_500), (20_000, 40_000)])
def test_the_ends_are_taken(cup_ml: int, mass_g: int) -> None:
    bench = blend().goes_to("cover")
    (fact,) = bench.does(MeasureDensity(cup_ul=1000 * cup_ml, weight=weight(mass_g * 1000)))
    assert isinstance(fact, DensityMeasured)
    assert (fact.cup_ul, fact.mass_mg) == (1000 * cup_ml, 1000 * mass_g)
