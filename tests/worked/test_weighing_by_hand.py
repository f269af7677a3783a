"""Weighing worked by hand."""

import pytest

from mixstation.proportion.weighing import (
    net_uncertainty_g,
    separate_additions_uncertainty_g,
    smallest_dose_g,
)


@pytest.mark.parametrize(("tolerance", "divisions"), [(0.03, 27), (0.01, 82)])
def test_smallest_dose(tolerance: float, divisions: float) -> None:
    """2/√6 = 0.8165 divisions over the tolerance: 0.8165/0.03 = 27.2, 0.8165/0.01 = 81.6."""
    assert smallest_dose_g(division_g=1, tolerance_fraction=tolerance) == pytest.approx(divisions, abs=0.5)


def test_six_tared_doses_against_one_total() -> None:
    """5 g steps: six nets √(6/6) × 5 = 5.00 g, one net 5/√6 = 2.04 g."""
    assert separate_additions_uncertainty_g(5, additions_count=6) == pytest.approx(5)
    assert net_uncertainty_g(5) == pytest.approx(2.04, abs=0.005)
