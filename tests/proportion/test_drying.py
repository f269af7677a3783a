"""Drying of the fresh surface."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.proportion.drying import drying, drying_risk, evaporation_kg_m2_h


@given(
    surface_c=st.floats(15, 35),
    air_over_c=st.floats(-12, 3),
    humidity=st.floats(0.1, 0.6),
    wind_kmh=st.floats(0, 40),
)
def test_agrees_with_unos_formula(
    surface_c: float, air_over_c: float, humidity: float, wind_kmh: float
) -> None:
    """Uno (1998), ACI Materials Journal 95-M34, gives the nomograph a form of its own, said to fit it closely.

    Over a mix much colder than the air, where little dries, the two part.
    """
    air_c = surface_c + air_over_c
    powers = (surface_c + 18) ** 2.5 - humidity * (air_c + 18) ** 2.5
    uno_kg_m2_h = 5e-6 * powers * (wind_kmh + 4)
    ours_kg_m2_h = evaporation_kg_m2_h(
        surface_c=surface_c, air_c=air_c, humidity_fraction=humidity, wind_kmh=wind_kmh
    )
    assert ours_kg_m2_h == pytest.approx(max(0.0, uno_kg_m2_h), rel=0.1, abs=0.06)


def test_damp_air_over_a_cold_mix_takes_nothing() -> None:
    assert evaporation_kg_m2_h(surface_c=10, air_c=30, humidity_fraction=0.9, wind_kmh=20) == 0


@given(wind_kmh=st.floats(0, 50))
def test_wind_dries(wind_kmh: float) -> None:
    still, windy = (
        evaporation_kg_m2_h(surface_c=22, air_c=20, humidity_fraction=0.5, wind_kmh=wind)
        for wind in (wind_kmh, wind_kmh + 1)
    )
    assert windy > still


@pytest.mark.parametrize(
    ("rate", "risk"),
    [(0, "low"), (0.5, "low"), (0.501, "thin-skin"), (1.0, "thin-skin"), (1.001, "any-surface")],
)
def test_classes_end_where_stated(rate: float, risk: str) -> None:
    assert drying_risk(rate) == risk


def test_the_estimate_carries_forty_per_cent_either_way() -> None:
    estimate = drying(surface_c=25, air_c=25, humidity_fraction=0.5, wind_kmh=20)
    assert estimate.min_kg_m2_h == pytest.approx(0.6 * estimate.rate_kg_m2_h)
    assert estimate.max_kg_m2_h == pytest.approx(1.4 * estimate.rate_kg_m2_h)
    assert (estimate.risk, estimate.worst_risk) == ("thin-skin", "any-surface")
