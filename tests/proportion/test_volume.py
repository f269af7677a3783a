"""Absolute volume and claimed yields."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.proportion.error import ProportionError
from mixstation.proportion.volume import (
    CLAIM_LIMIT_FRACTION,
    Part,
    batch_volume_l,
    claimed_yield,
    fresh_density_kg_m3,
    sand_by_absolute_volume_kg,
)

PARTS = st.lists(
    st.builds(Part, mass_kg=st.floats(0.01, 100), density_kg_m3=st.floats(500, 5000)), min_size=1, max_size=8
)
AIR = st.floats(0, 0.3)


@given(parts=PARTS, air=AIR)
def test_density_times_volume_is_mass(parts: list[Part], air: float) -> None:
    density_kg_m3 = fresh_density_kg_m3(parts, air_fraction=air)
    total_kg = math.fsum(part.mass_kg for part in parts)
    assert density_kg_m3 * batch_volume_l(parts, air_fraction=air) / 1000 == pytest.approx(total_kg)


@given(parts=PARTS, air=AIR)
def test_air_makes_room_and_lightens_alike(parts: list[Part], air: float) -> None:
    assert batch_volume_l(parts, air_fraction=air) * (1 - air) == pytest.approx(batch_volume_l(parts))
    assert fresh_density_kg_m3(parts, air_fraction=air) == pytest.approx(
        (1 - air) * fresh_density_kg_m3(parts)
    )


@given(parts=PARTS, air=AIR, spare=st.floats(1.01, 3), sand_kg_m3=st.floats(2000, 3000))
def test_the_sand_fills_the_volume_wanted(
    parts: list[Part], air: float, spare: float, sand_kg_m3: float
) -> None:
    volume_l = batch_volume_l(parts, air_fraction=air) * spare
    sand_kg = sand_by_absolute_volume_kg(parts, volume_l=volume_l, air_fraction=air, sand_kg_m3=sand_kg_m3)
    filled = [*parts, Part(mass_kg=sand_kg, density_kg_m3=sand_kg_m3)]
    assert batch_volume_l(filled, air_fraction=air) == pytest.approx(volume_l)


def test_no_room_for_sand() -> None:
    with pytest.raises(ProportionError) as caught:
        sand_by_absolute_volume_kg(
            [Part(mass_kg=10, density_kg_m3=1000)], volume_l=10, air_fraction=0.02, sand_kg_m3=2650
        )
    assert caught.value.code == "no-room-for-sand"
    assert caught.value.values["taken_l"] == pytest.approx(10.2)


@given(parts=PARTS, air=AIR)
def test_an_iterator_will_do_for_parts(parts: list[Part], air: float) -> None:
    assert fresh_density_kg_m3(iter(parts), air_fraction=air) == fresh_density_kg_m3(parts, air_fraction=air)
    assert claimed_yield(iter(parts), claimed_l=1, air_fraction=air) == claimed_yield(
        parts, claimed_l=1, air_fraction=air
    )


@pytest.mark.parametrize(
    ("factor", "contradicted"),
    [(0.94, True), (0.96, False), (1.0, False), (1.04, False), (1.06, True)],
)
def test_a_claim_is_contradicted_beyond_five_per_cent_either_way(factor: float, contradicted: bool) -> None:
    assert CLAIM_LIMIT_FRACTION == 0.05
    parts = [Part(mass_kg=12, density_kg_m3=2400), Part(mass_kg=5, density_kg_m3=1000)]
    claim = claimed_yield(parts, claimed_l=10 * factor, air_fraction=0)
    assert claim.computed_l == pytest.approx(10)
    assert claim.deviation_fraction == pytest.approx(factor - 1)
    assert claim.contradicted is contradicted
    assert claim.implied_kg_m3 == pytest.approx(1700 / factor)


def test_an_empty_batch_has_no_density() -> None:
    with pytest.raises(ProportionError) as caught:
        fresh_density_kg_m3([])
    assert caught.value.code == "not-positive"


@pytest.mark.parametrize(
    "part",
    [
        Part(mass_kg=-1, density_kg_m3=1000),
        Part(mass_kg=1, density_kg_m3=0),
        Part(mass_kg=math.nan, density_kg_m3=1),
    ],
)
def test_a_spoilt_part_is_refused(part: Part) -> None:
    with pytest.raises(ProportionError):
        batch_volume_l([part])


@pytest.mark.parametrize("air", [-0.01, 0.51, math.nan])
def test_spoilt_air_is_refused(air: float) -> None:
    parts = [Part(mass_kg=1, density_kg_m3=1000)]
    with pytest.raises(ProportionError):
        batch_volume_l(parts, air_fraction=air)
    with pytest.raises(ProportionError):
        sand_by_absolute_volume_kg(parts, volume_l=10, air_fraction=air, sand_kg_m3=2650)
