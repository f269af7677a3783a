"""Flow, spread and rings."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.proportion.consistency import flow_percent, ring_diameter_mm, ring_reached, spread_mm
from mixstation.proportion.error import ProportionError


@given(ring=st.integers(0, 8))
def test_a_ring_is_found_again(ring: int) -> None:
    assert ring_reached(ring_diameter_mm(ring)) == ring
    assert ring_reached(ring_diameter_mm(ring) + 19.9) == ring


def test_beyond_the_plate_is_the_last_ring() -> None:
    assert ring_reached(400) == 8


def test_inside_the_first_ring_there_is_none() -> None:
    with pytest.raises(ProportionError) as caught:
        ring_reached(64)
    assert caught.value.code == "out-of-range"


@pytest.mark.parametrize("ring", [-1, 9])
def test_rings_the_plate_does_not_have(ring: int) -> None:
    with pytest.raises(ProportionError) as caught:
        ring_diameter_mm(ring)
    assert caught.value.code == "out-of-range"


def test_a_mix_that_keeps_the_moulds_width_has_not_flowed() -> None:
    assert flow_percent([100, 100]) == 0


@pytest.mark.parametrize("diameters", [[], [180, 0], [180, -1], [180, float("nan")]])
def test_flow_needs_diameters(diameters: list[float]) -> None:
    with pytest.raises(ProportionError):
        flow_percent(diameters)


@given(first=st.floats(1, 500), second=st.floats(1, 500))
def test_spread_does_not_mind_which_way(first: float, second: float) -> None:
    assert spread_mm(first, second) == spread_mm(second, first)
    assert min(first, second) <= spread_mm(first, second) <= max(first, second)
