"""The range of strength for a change of water ratio."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.proportion.error import ProportionError
from mixstation.proportion.strength import strength_change_fractions


def powers_strength(water_ratio: float) -> float:
    """Gel/space ratio cubed (Powers), hydrated as far as Mills' limit; both from memory, no scale needed."""
    hydrated = 1.031 * water_ratio / (0.194 + water_ratio)
    return float((0.68 * hydrated / (0.32 * hydrated + water_ratio)) ** 3)


@given(water_ratio=st.floats(0.35, 0.60))
def test_powers_gel_space_ratio_lies_within_the_range(water_ratio: float) -> None:
    low, high = strength_change_fractions(0.01)
    change = powers_strength(water_ratio + 0.01) / powers_strength(water_ratio) - 1
    assert low <= change <= high


@given(change=st.floats(-0.1, 0.1))
def test_a_step_and_the_step_back_cancel(change: float) -> None:
    low, high = strength_change_fractions(change)
    back_low, back_high = strength_change_fractions(-change)
    assert (1 + low) * (1 + back_high) == pytest.approx(1)
    assert (1 + high) * (1 + back_low) == pytest.approx(1)


@given(change=st.floats(0.001, 0.2))
def test_more_water_weakens_and_never_below_nothing(change: float) -> None:
    low, high = strength_change_fractions(change)
    assert -1 < low < high < 0


def test_no_change_changes_nothing() -> None:
    assert strength_change_fractions(0) == (0, 0)


@pytest.mark.parametrize("change", [-0.21, 0.21])
def test_says_nothing_of_large_changes(change: float) -> None:
    with pytest.raises(ProportionError) as caught:
        strength_change_fractions(change)
    assert caught.value.why.code == "out-of-range"
