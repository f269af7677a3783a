"""Rounding of a display, and the smallest dose it can weigh."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.proportion.error import ProportionError
from mixstation.proportion.weighing import (
    COVERAGE_RATIO,
    net_uncertainty_g,
    reading_uncertainty_g,
    separate_additions_uncertainty_g,
    smallest_dose_g,
)


def test_rounding_in_a_trial_spreads_as_stated() -> None:
    draw = random.Random(7)
    errors = []
    for _ in range(20_000):
        tare, gross = draw.uniform(0, 500), draw.uniform(500, 1000)
        errors.append((round(gross) - round(tare)) - (gross - tare))
    spread = math.sqrt(math.fsum(error**2 for error in errors) / len(errors))
    assert spread == pytest.approx(net_uncertainty_g(1), rel=0.02)


@given(division_g=st.floats(0.01, 100), count=st.integers(2, 50))
def test_taring_each_addition_costs(division_g: float, count: int) -> None:
    separate = separate_additions_uncertainty_g(division_g, additions_count=count)
    assert separate > net_uncertainty_g(division_g) > reading_uncertainty_g(division_g)
    assert separate == pytest.approx(division_g * math.sqrt(count / 6))


def test_no_addition_is_not_uncertain() -> None:
    assert separate_additions_uncertainty_g(5, additions_count=0) == 0


@given(division_g=st.floats(0.01, 100), tolerance=st.floats(0.001, 0.2), count=st.integers(1, 9))
def test_the_smallest_dose_is_sure_to_be_inside_at_its_target(
    division_g: float, tolerance: float, count: int
) -> None:
    dose_g = smallest_dose_g(division_g=division_g, tolerance_fraction=tolerance, additions_count=count)
    uncertainty_g = separate_additions_uncertainty_g(division_g, additions_count=count)
    assert COVERAGE_RATIO * uncertainty_g == pytest.approx(tolerance * dose_g)


@pytest.mark.parametrize(("division_g", "tolerance"), [(0, 0.03), (1, 0), (-1, 0.03)])
def test_no_dose_without_a_step_and_a_tolerance(division_g: float, tolerance: float) -> None:
    with pytest.raises(ProportionError) as caught:
        smallest_dose_g(division_g=division_g, tolerance_fraction=tolerance)
    assert caught.value.why.code == "not-positive"


def test_a_negative_count_is_refused() -> None:
    with pytest.raises(ProportionError) as caught:
        separate_additions_uncertainty_g(1, additions_count=-1)
    assert caught.value.why.code == "negative"
