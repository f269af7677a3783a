"""Volumes and densities worked by hand."""

from fractions import Fraction

import pytest

from mixstation.proportion.density import gravimetric_air_fraction, wet_density_kg_m3
from mixstation.proportion.volume import absolute_volume_l, claimed_yield, volume_with_air_l
from mixstation.recipe.model import Basis, Material, Recipe, Role, Tolerance, WaterRule
from mixstation.recipe.proportions import volume_l

POUND_KG = 0.45359237
CUBIC_FOOT_L = 28.316846592
# Cement, sand, emulsion, plasticiser, water, and 3 % fibre: kg and kg/m³.
PREMIX = ((50, 3150), (50, 2650), (5, 1060), (0.5, 1080), (14.5, 998.2), (3.7113, 2680))
PREMIX_KG = sum(mass_kg for mass_kg, _ in PREMIX)
PREMIX_L = sum(absolute_volume_l(mass_kg, density_kg_m3=density) for mass_kg, density in PREMIX)


def test_premix_density() -> None:
    """Litres: 15.873 + 18.868 + 4.717 + 0.463 + 14.526 + 1.385 = 55.832. Mass 123.711 kg.

    Air-free 123.711/55.832 = 2.2158; with 4 % air × 0.96 = 2.1271 kg/l.
    """
    assert pytest.approx(55.832, abs=0.0005) == PREMIX_L
    assert wet_density_kg_m3(PREMIX_KG, volume_l=PREMIX_L) == pytest.approx(2216, abs=0.5)
    airy_l = volume_with_air_l(PREMIX_L, air_fraction=0.04)
    assert wet_density_kg_m3(PREMIX_KG, volume_l=airy_l) == pytest.approx(2127, abs=0.5)
    assert gravimetric_air_fraction(air_free_kg_m3=2215.8, measured_kg_m3=2127.1) == pytest.approx(
        0.04, abs=1e-4
    )


def test_an_impossible_claim() -> None:
    """57.7 lb said to fill a third of a cubic foot: 57.7 × 3 = 173.1 lb/ft³ = 2773 kg/m³, no mortar is so heavy.

    26.172 kg of the premix at 4 % air take 26.172/2.1271 = 12.30 l; claimed 9.44 l, which is 23 % too little.
    """
    computed_l = volume_with_air_l(PREMIX_L * 57.7 * POUND_KG / PREMIX_KG, air_fraction=0.04)
    claim = claimed_yield(57.7 * POUND_KG, computed_l=computed_l, claimed_l=CUBIC_FOOT_L / 3)
    assert claim.implied_kg_m3 / (POUND_KG / CUBIC_FOOT_L * 1000) == pytest.approx(173.1)
    assert claim.computed_l == pytest.approx(12.30, abs=0.01)
    assert claim.deviation_fraction == pytest.approx(-0.233, abs=0.001)
    assert claim.contradicted


KG = 1_000_000


def thirsty() -> Recipe:
    """Cement, kiln-dried sand that drinks 2 % of its mass, an emulsion that is half water, water; no air."""

    def material(key: str, role: Role, density_kg_m3: float, **more: Fraction) -> Material:
        within = Tolerance(under=Fraction(1, 100), over=Fraction(1, 100))
        return Material(key=key, name=key, role=role, density_kg_m3=density_kg_m3, tolerance=within, **more)

    ratio = Fraction(34, 100)
    return Recipe(
        key="thirsty",
        name="thirsty",
        revision="",
        water=WaterRule(of=Basis.CEMENT, target=ratio, least=ratio, most=ratio, ceiling=ratio),
        materials=(
            material("water", Role.WATER, 1000.0, water_fraction=Fraction(1)),
            material("cement", Role.CEMENT, 3150.0, parts=Fraction(1), cement_fraction=Fraction(1)),
            material("sand", Role.SAND, 2650.0, parts=Fraction(1), absorption_fraction=Fraction(2, 100)),
            material("emulsion", Role.POLYMER, 1060.0, water_fraction=Fraction(1, 2)),
        ),
        steps=(),
        air_fraction=Fraction(0),
        working_min=30,
    )


@pytest.mark.parametrize(
    ("water_g", "emulsion_g", "litres"),
    [
        # 10 kg of sand fill their pores with 200 g and are then 10.2 kg at 2650 kg/m3. Enough plain water: 3.1 - 0.2 l.
        (
            3_100,
            600,
            Fraction(10_000, 3150) + Fraction(10_200, 2650) + Fraction(600, 1060) + Fraction(2_900, 1000),
        ),
        # 50 g of plain water: the other 150 g come out of the 300 g of water in the emulsion.
        (
            50,
            600,
            Fraction(10_000, 3150) + Fraction(10_200, 2650) + Fraction(600, 1060) - Fraction(150, 1000),
        ),
        # 50 g and no emulsion: the pores are not full, but a grain is no smaller for that.
        (50, 0, Fraction(10_000, 3150) + Fraction(10_200, 2650)),
    ],
)
def test_sand_that_drinks_takes_its_water_from_all_that_is_wet(
    water_g: int, emulsion_g: int, litres: Fraction
) -> None:
    """Absolute volume with sand at its saturated surface-dry density, as in ACI 211.1-91 section 6.3 [mem]."""
    masses = {
        "water": water_g * 1000,
        "cement": 10 * KG,
        "sand": 10 * KG,
        "emulsion": emulsion_g * 1000,
    }
    assert volume_l(thirsty(), masses) == pytest.approx(float(litres), rel=1e-12)
