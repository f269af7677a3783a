"""Volumes and densities worked by hand."""

import pytest

from mixstation.proportion.density import gravimetric_air_fraction
from mixstation.proportion.volume import Part, claimed_yield, fresh_density_kg_m3

POUND_KG = 0.45359237
CUBIC_FOOT_L = 28.316846592
PREMIX = (
    Part(mass_kg=50, density_kg_m3=3150),
    Part(mass_kg=50, density_kg_m3=2650),
    Part(mass_kg=5, density_kg_m3=1060),
    Part(mass_kg=0.5, density_kg_m3=1080),
    Part(mass_kg=14.5, density_kg_m3=998.2),
    Part(mass_kg=3.7113, density_kg_m3=2680),
)


def test_premix_density() -> None:
    """Cement, sand, emulsion, plasticiser, water, and 3 % fibre of 2680 kg/m³.

    Litres: 15.873 + 18.868 + 4.717 + 0.463 + 14.526 + 1.385 = 55.832. Mass 123.711 kg.
    Air-free 123.711/55.832 = 2.2158; with 4 % air × 0.96 = 2.1271 kg/l.
    """
    assert fresh_density_kg_m3(PREMIX) == pytest.approx(2216, abs=0.5)
    assert fresh_density_kg_m3(PREMIX, air_fraction=0.04) == pytest.approx(2127, abs=0.5)
    assert gravimetric_air_fraction(air_free_kg_m3=2215.8, measured_kg_m3=2127.1) == pytest.approx(
        0.04, abs=1e-4
    )


def test_an_impossible_claim() -> None:
    """57.7 lb said to fill a third of a cubic foot: 57.7 × 3 = 173.1 lb/ft³ = 2773 kg/m³, no mortar is so heavy.

    26.172 kg of the premix at 4 % air take 26.172/2.1271 = 12.30 l; claimed 9.44 l, which is 23 % too little.
    """
    scale = 57.7 * POUND_KG / sum(part.mass_kg for part in PREMIX)
    parts = [Part(mass_kg=part.mass_kg * scale, density_kg_m3=part.density_kg_m3) for part in PREMIX]
    claim = claimed_yield(parts, claimed_l=CUBIC_FOOT_L / 3, air_fraction=0.04)
    assert claim.implied_kg_m3 / (POUND_KG / CUBIC_FOOT_L * 1000) == pytest.approx(173.1)
    assert claim.computed_l == pytest.approx(12.30, abs=0.01)
    assert claim.deviation_fraction == pytest.approx(-0.233, abs=0.001)
    assert claim.contradicted
