"""Conformity against a general-purpose statistics library, and verdicts."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from mixstation.proportion.conformity import conformity_probability_fraction, smallest_dose_g, verdict
from mixstation.proportion.error import ProportionError
from mixstation.proportion.weighing import net_uncertainty_g

VALUES = st.floats(-100, 100)


@given(value=VALUES, uncertainty=st.floats(0.01, 50), bounds=st.tuples(VALUES, VALUES).map(sorted))
def test_agrees_with_scipys_normal_distribution(
    value: float, uncertainty: float, bounds: list[float]
) -> None:
    low, high = bounds
    known = norm(loc=value, scale=uncertainty)
    two_sided = conformity_probability_fraction(value, uncertainty_g=uncertainty, min_g=low, max_g=high)
    assert two_sided == pytest.approx(known.cdf(high) - known.cdf(low), abs=1e-12)
    only_most = conformity_probability_fraction(value, uncertainty_g=uncertainty, max_g=high)
    assert only_most == pytest.approx(known.cdf(high), abs=1e-12)
    only_least = conformity_probability_fraction(value, uncertainty_g=uncertainty, min_g=low)
    assert only_least == pytest.approx(known.sf(low), abs=1e-12)


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (50.0, "inside"),
        (50.2, "inside"),
        (50.25, "cannot-tell"),
        (51.7, "cannot-tell"),
        (51.85, "outside"),
        (49.8, "inside"),
        (48.3, "cannot-tell"),
        (48.15, "outside"),
    ],
)
def test_a_verdict_needs_the_whole_interval(value: float, expected: str) -> None:
    assert verdict(value, uncertainty_g=0.4, min_g=49, max_g=51) == expected


def test_one_bound_will_do() -> None:
    assert verdict(10, uncertainty_g=1, max_g=13) == "inside"
    assert verdict(10, uncertainty_g=1, max_g=11) == "cannot-tell"
    assert verdict(10, uncertainty_g=1, min_g=13) == "outside"


def test_a_scale_without_error_can_always_tell() -> None:
    assert verdict(51, uncertainty_g=0, min_g=49, max_g=51) == "inside"
    assert verdict(51.001, uncertainty_g=0, min_g=49, max_g=51) == "outside"


@given(division=st.floats(0.01, 10), tolerance=st.floats(0.005, 0.2))
def test_at_the_smallest_dose_the_target_is_only_just_told(division: float, tolerance: float) -> None:
    dose = smallest_dose_g(division_g=division, tolerance_fraction=tolerance)
    uncertainty = net_uncertainty_g(division)
    for factor, expected in ((1.001, "inside"), (0.999, "cannot-tell")):
        target = dose * factor
        bounds = target * (1 - tolerance), target * (1 + tolerance)
        assert verdict(target, uncertainty_g=uncertainty, min_g=bounds[0], max_g=bounds[1]) == expected


@pytest.mark.parametrize("judge", [conformity_probability_fraction, verdict])
def test_bounds_must_make_sense(judge: object) -> None:
    assert callable(judge)
    with pytest.raises(ProportionError) as caught:
        judge(50, uncertainty_g=0.4)
    assert caught.value.code == "no-bounds"
    with pytest.raises(ProportionError) as caught:
        judge(50, uncertainty_g=0.4, min_g=51, max_g=49)
    assert caught.value.code == "bounds-crossed"
    with pytest.raises(ProportionError) as caught:
        judge(50, uncertainty_g=0.4, max_g=math.nan)
    assert caught.value.code == "not-finite"
