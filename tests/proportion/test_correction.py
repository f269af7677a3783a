"""Corrections bring the proportions back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.proportion.correction import (
    growth_ratio,
    powder_growth_ratio,
    powder_growth_to_limit_ratio,
    shrink_ratio,
    surplus_after_shrink_kg,
)

CEMENT_KG = st.floats(1, 50)
OVER = st.floats(1, 1.5)


@given(cement_kg=CEMENT_KG, polymer=st.floats(0.02, 0.2), ratio=st.floats(0.25, 0.4), over=OVER)
def test_growing_everything_takes_the_factor_on_added_water(
    cement_kg: float, polymer: float, ratio: float, over: float
) -> None:
    emulsion_kg = polymer * cement_kg
    carried_kg = emulsion_kg / 2
    target_kg = ratio * cement_kg - carried_kg
    actual_kg = target_kg * over
    growth = growth_ratio(actual_kg=actual_kg, target_kg=target_kg)
    grown_cement_kg, grown_carried_kg = cement_kg * growth, carried_kg * growth
    assert (actual_kg + grown_carried_kg) / grown_cement_kg == pytest.approx(ratio)


@given(cement_kg=CEMENT_KG, polymer=st.floats(0.02, 0.2), ratio=st.floats(0.25, 0.4), over=OVER)
def test_growing_powder_alone_takes_the_factor_on_all_water(
    cement_kg: float, polymer: float, ratio: float, over: float
) -> None:
    carried_kg = polymer * cement_kg / 2
    target_all_kg = ratio * cement_kg
    actual_all_kg = (target_all_kg - carried_kg) * over + carried_kg
    growth = powder_growth_ratio(actual_all_water_kg=actual_all_kg, target_all_water_kg=target_all_kg)
    assert actual_all_kg / (cement_kg * growth) == pytest.approx(ratio)


@given(all_water_kg=st.floats(0.1, 10), basis_kg=st.floats(1, 30), most=st.floats(0.3, 0.5))
def test_growing_to_the_limit_just_keeps_it(all_water_kg: float, basis_kg: float, most: float) -> None:
    growth = powder_growth_to_limit_ratio(all_water_kg=all_water_kg, basis_kg=basis_kg, max_water_ratio=most)
    assert all_water_kg / (basis_kg * growth) <= most * (1 + 1e-12)
    if growth > 1:
        assert all_water_kg / (basis_kg * growth) == pytest.approx(most)


@given(target_kg=st.floats(1, 50), share=st.floats(0, 1), water_share=st.floats(0, 1.2))
def test_shrinking_leaves_a_surplus_of_what_is_in_beyond_the_share(
    target_kg: float, share: float, water_share: float
) -> None:
    factor = shrink_ratio(available_kg=target_kg * share, target_kg=target_kg)
    assert 0 <= factor <= 1
    surplus_kg = surplus_after_shrink_kg(in_already_kg=3 * water_share, target_kg=3, shrink_ratio=factor)
    assert surplus_kg == pytest.approx(max(0, 3 * (water_share - factor)))


def test_nothing_went_over_and_nothing_is_short() -> None:
    assert growth_ratio(actual_kg=1.9, target_kg=2) == 1
    assert powder_growth_ratio(actual_all_water_kg=1.9, target_all_water_kg=2) == 1
    assert shrink_ratio(available_kg=5.1, target_kg=5) == 1
