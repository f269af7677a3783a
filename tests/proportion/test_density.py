"""Measured density, yield, air, water."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.proportion.density import (
    gravimetric_air_fraction,
    measured_density_kg_m3,
    relative_yield_ratio,
    water_density_kg_m3,
    yield_l,
)
from mixstation.proportion.error import ProportionError
from mixstation.proportion.volume import Part, fresh_density_kg_m3


@given(air=st.floats(0, 0.3), sand_kg=st.floats(1, 20), water_kg=st.floats(0.5, 5))
def test_air_is_found_again(air: float, sand_kg: float, water_kg: float) -> None:
    parts = [Part(mass_kg=sand_kg, density_kg_m3=2650), Part(mass_kg=water_kg, density_kg_m3=1000)]
    found = gravimetric_air_fraction(
        air_free_kg_m3=fresh_density_kg_m3(parts) * (1 + 1e-12),
        measured_kg_m3=fresh_density_kg_m3(parts, air_fraction=air),
    )
    assert found == pytest.approx(air, abs=1e-9)


@given(full_kg=st.floats(2, 50), volume_l=st.floats(0.5, 20))
def test_a_measure_yields_its_own_volume(full_kg: float, volume_l: float) -> None:
    density_kg_m3 = measured_density_kg_m3(full_kg=full_kg, empty_kg=1, volume_l=volume_l)
    made_l = yield_l(full_kg - 1, density_kg_m3=density_kg_m3)
    assert relative_yield_ratio(made_l=made_l, designed_l=volume_l) == pytest.approx(1)


def test_heavier_than_without_air_means_a_wrong_figure() -> None:
    with pytest.raises(ProportionError) as caught:
        gravimetric_air_fraction(air_free_kg_m3=2200, measured_kg_m3=2201)
    assert caught.value.code == "denser-than-air-free"


def test_an_empty_measure_has_no_density() -> None:
    with pytest.raises(ProportionError) as caught:
        measured_density_kg_m3(full_kg=1, empty_kg=1, volume_l=2)
    assert caught.value.code == "full-not-over-empty"


def test_water_is_heaviest_at_four_degrees() -> None:
    densities = [water_density_kg_m3(tenth / 10) for tenth in range(401)]
    assert densities.index(max(densities)) == 40


@pytest.mark.parametrize("temperature_c", [-0.1, 40.1])
def test_the_water_formula_keeps_to_its_range(temperature_c: float) -> None:
    with pytest.raises(ProportionError) as caught:
        water_density_kg_m3(temperature_c)
    assert caught.value.code == "out-of-range"
