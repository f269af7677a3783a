"""Absolute volume and claimed yields."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.proportion.error import ProportionError
from mixstation.proportion.volume import (
    CLAIM_LIMIT_FRACTION,
    absolute_volume_l,
    claimed_yield,
    volume_with_air_l,
)


@given(solid_l=st.floats(0.01, 100), air=st.floats(0, 0.5))
def test_air_takes_its_share_of_the_whole(solid_l: float, air: float) -> None:
    whole_l = volume_with_air_l(solid_l, air_fraction=air)
    assert whole_l - air * whole_l == pytest.approx(solid_l)


@pytest.mark.parametrize(
    ("factor", "contradicted"),
    [(0.94, True), (0.96, False), (1.0, False), (1.04, False), (1.06, True)],
)
def test_a_claim_is_contradicted_beyond_five_per_cent_either_way(factor: float, contradicted: bool) -> None:
    assert CLAIM_LIMIT_FRACTION == 0.05
    claim = claimed_yield(17, computed_l=10, claimed_l=10 * factor)
    assert claim.computed_l == 10
    assert claim.deviation_fraction == pytest.approx(factor - 1)
    assert claim.contradicted is contradicted
    assert claim.implied_kg_m3 == pytest.approx(1700 / factor)


@pytest.mark.parametrize("of", [(0, 1, 1), (1, 0, 1), (1, 1, 0), (math.nan, 1, 1)])
def test_nothing_is_no_claim(of: tuple[float, float, float]) -> None:
    mass_kg, computed_l, claimed_l = of
    with pytest.raises(ProportionError):
        claimed_yield(mass_kg, computed_l=computed_l, claimed_l=claimed_l)


@pytest.mark.parametrize(("mass_kg", "density_kg_m3"), [(-1, 1000), (1, 0), (math.nan, 1)])
def test_a_spoilt_material_is_refused(mass_kg: float, density_kg_m3: float) -> None:
    with pytest.raises(ProportionError):
        absolute_volume_l(mass_kg, density_kg_m3=density_kg_m3)


@pytest.mark.parametrize("air", [-0.01, 1, math.nan])
def test_spoilt_air_is_refused(air: float) -> None:
    with pytest.raises(ProportionError):
        volume_with_air_l(1, air_fraction=air)
