"""Corrections and pigment worked by hand."""

import pytest

from mixstation.proportion.correction import growth_ratio, powder_growth_ratio
from mixstation.proportion.pigment import PigmentDose, check_pigment


def test_water_over_without_polymer() -> None:
    """3.6 for 3.4 kg at w/c 0.34 on 10 kg cement: 3.6/3.4 = 1.058824, cement + 0.588 kg; 3.6/10.588 = 0.34."""
    growth = growth_ratio(actual_kg=3.6, target_kg=3.4)
    assert growth == pytest.approx(1.058824, abs=5e-7)
    assert 10 * growth - 10 == pytest.approx(0.588, abs=0.0005)
    assert 3.6 / (10 * growth) == pytest.approx(0.34)


def test_water_over_with_polymer_two_ways() -> None:
    """Added 2.95, polymer liquid brings 0.565, all 3.515; 0.2 too much, binder 10.66, ratio 0.32974.

    Everything incl. polymer: 3.15/2.95 = 1.0678; water 3.15 + 0.565 × 1.0678 = 3.7533, binder 11.3827: 0.32974.
    Powder alone: 3.715/3.515 = 1.0569; binder 11.2666: 3.715/11.2666 = 0.32974.
    """
    everything = growth_ratio(actual_kg=3.15, target_kg=2.95)
    powder = powder_growth_ratio(actual_all_water_kg=3.715, target_all_water_kg=3.515)
    assert everything == pytest.approx(1.068, abs=0.0005)
    assert powder == pytest.approx(1.057, abs=0.0005)
    target = 3.515 / 10.66
    assert (3.15 + 0.565 * everything) / (10.66 * everything) == pytest.approx(target)
    assert 3.715 / (10.66 * powder) == pytest.approx(target)


def test_pigment_on_cement() -> None:
    """4 % of 7 kg is 280 g; the cap of 10 % is 700 g."""
    check = check_pigment([PigmentDose(name="red", mass_kg=0.280)], cement_kg=7)
    assert check.total_fraction == pytest.approx(0.04)
    assert check_pigment([PigmentDose(name="red", mass_kg=0.750)], cement_kg=7).over_kg == pytest.approx(0.05)
