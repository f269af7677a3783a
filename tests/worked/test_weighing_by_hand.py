"""Weighing worked by hand."""

import pytest

from mixstation.proportion.conformity import conformity_probability_fraction, smallest_dose_g, verdict
from mixstation.proportion.weighing import (
    class_iii_error_g,
    net_uncertainty_g,
    separate_additions_uncertainty_g,
)


def test_36_g_for_35_g() -> None:
    """35 g ± 3 % is 33.95 to 36.05 g; u = 1/√6 = 0.4082. (36.05 − 36)/u = 0.1225, Φ = 0.5487; the other end is
    5 u away and adds nothing. So 0.549: the scale cannot tell.
    """
    uncertainty = net_uncertainty_g(1)
    fraction = conformity_probability_fraction(36, uncertainty_g=uncertainty, min_g=33.95, max_g=36.05)
    assert fraction == pytest.approx(0.549, abs=0.0005)
    assert verdict(36, uncertainty_g=uncertainty, min_g=33.95, max_g=36.05) == "cannot-tell"


@pytest.mark.parametrize(("tolerance", "divisions"), [(0.03, 27), (0.01, 82)])
def test_smallest_dose(tolerance: float, divisions: float) -> None:
    """2/√6 = 0.8165 divisions over the tolerance: 0.8165/0.03 = 27.2, 0.8165/0.01 = 81.6."""
    assert smallest_dose_g(division_g=1, tolerance_fraction=tolerance) == pytest.approx(divisions, abs=0.5)


def test_six_tared_doses_against_one_total() -> None:
    """5 g steps: six nets √(6/6) × 5 = 5.00 g, one net 5/√6 = 2.04 g."""
    assert separate_additions_uncertainty_g(5, additions_count=6) == pytest.approx(5)
    assert net_uncertainty_g(5) == pytest.approx(2.04, abs=0.005)


def test_error_of_a_15_kg_scale() -> None:
    """e = 5 g: 500 e is 2.5 kg, 2000 e is 10 kg. 2.5 kg ± 2.5 g, 8 kg ± 5 g, 12 kg ± 7.5 g; in use ± 15 g."""
    errors = [class_iii_error_g(load, interval_g=5) for load in (2500, 8000, 12_000)]
    assert errors == [2.5, 5.0, 7.5]
    assert class_iii_error_g(12_000, interval_g=5, in_service=True) == 15.0
