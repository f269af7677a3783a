"""Measured density, yield, air, water."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.proportion.density import (
    air_free_density_kg_m3,
    gravimetric_air_fraction,
    relative_yield_ratio,
    water_density_kg_m3,
    wet_density_kg_m3,
    yield_l,
)
from mixstation.proportion.error import ProportionError


@given(air=st.floats(0, 0.3), measured=st.floats(1500, 2500))
def test_air_is_found_again(air: float, measured: float) -> None:
    air_free = air_free_density_kg_m3(measured, air_fraction=air) * (1 + 1e-12)
    found = gravimetric_air_fraction(air_free_kg_m3=air_free, measured_kg_m3=measured)
    assert found == pytest.approx(air, abs=1e-9)


@given(mass_kg=st.floats(1, 50), volume_l=st.floats(0.5, 20))
def test_a_measure_yields_its_own_volume(mass_kg: float, volume_l: float) -> None:
    made_l = yield_l(mass_kg, density_kg_m3=wet_density_kg_m3(mass_kg, volume_l=volume_l))
    assert relative_yield_ratio(made_l=made_l, designed_l=volume_l) == pytest.approx(1)


def test_heavier_than_without_air_means_a_wrong_figure() -> None:
    with pytest.raises(ProportionError) as caught:
        gravimetric_air_fraction(air_free_kg_m3=2200, measured_kg_m3=2201)
    assert caught.value.why.code == "denser-than-air-free"


@pytest.mark.parametrize(("mass_kg", "volume_l"), [(0, 2), (1, 0)])
def test_an_empty_measure_has_no_density(mass_kg: float, volume_l: float) -> None:
    with pytest.raises(ProportionError) as caught:
        wet_density_kg_m3(mass_kg, volume_l=volume_l)
    assert caught.value.why.code == "not-positive"


def test_water_is_heaviest_at_four_degrees() -> None:
    densities = [water_density_kg_m3(tenth / 10) for tenth in range(401)]
    assert densities.index(max(densities)) == 40


@pytest.mark.parametrize("temperature_c", [-0.1, 40.1])
def test_the_water_formula_keeps_to_its_range(temperature_c: float) -> None:
    with pytest.raises(ProportionError) as caught:
        water_density_kg_m3(temperature_c)
    assert caught.value.why.code == "out-of-range"
