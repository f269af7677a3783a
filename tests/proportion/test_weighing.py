"""Rounding of a display, and class III."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.proportion.error import ProportionError
from mixstation.proportion.weighing import (
    class_iii_error_g,
    net_uncertainty_g,
    reading_uncertainty_g,
    separate_additions_uncertainty_g,
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


@given(interval_g=st.sampled_from([0.1, 0.2, 0.5, 1, 2, 5, 10, 20]), count=st.integers(0, 10_000))
def test_in_service_doubles(interval_g: float, count: int) -> None:
    load_g = count * interval_g
    try:
        first = class_iii_error_g(load_g, interval_g=interval_g)
    except ProportionError:
        pytest.fail("a load within 10 000 intervals was refused")
    assert class_iii_error_g(load_g, interval_g=interval_g, in_service=True) == 2 * first


def test_class_iii_ends_at_ten_thousand_intervals() -> None:
    with pytest.raises(ProportionError) as caught:
        class_iii_error_g(10_001, interval_g=1)
    assert caught.value.code == "beyond-class-iii"
    assert caught.value.values == {"load_count": 10_001, "most_count": 10_000}


def test_a_negative_count_is_refused() -> None:
    with pytest.raises(ProportionError) as caught:
        separate_additions_uncertainty_g(1, additions_count=-1)
    assert caught.value.code == "negative"
