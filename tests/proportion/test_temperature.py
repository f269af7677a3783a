"""Mix temperature, and water or ice for a wanted one."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from mixstation.proportion.error import IceOverWater, ProportionError, WaterWouldBoil, WaterWouldFreeze
from mixstation.proportion.temperature import (
    Charge,
    IceOverSureShare,
    MixBelowFilmForming,
    WaterOffCement,
    WaterTooHot,
    ice_kg_for,
    mix_temperature_c,
    temperature_cautions,
    water_c_for,
)

SOLIDS = st.lists(
    st.builds(Charge, mass_kg=st.floats(1, 50), temperature_c=st.floats(0, 60)), min_size=1, max_size=4
)
OTHER_WATERS = st.lists(
    st.builds(Charge, mass_kg=st.floats(0, 2), temperature_c=st.floats(0, 40)), max_size=3
)


@given(solids=SOLIDS, others=OTHER_WATERS, water_kg=st.floats(0.5, 20), water_c=st.floats(0.1, 99.9))
def test_the_water_temperature_is_found_again(
    solids: list[Charge], others: list[Charge], water_kg: float, water_c: float
) -> None:
    mix_c = mix_temperature_c(
        solids=solids, waters=[*others, Charge(mass_kg=water_kg, temperature_c=water_c)]
    )
    assume(0 <= mix_c <= 60)
    found_c = water_c_for(mix_c, solids=solids, waters=others, water_kg=water_kg)
    assert found_c == pytest.approx(water_c, abs=1e-6)


@given(
    solids=SOLIDS,
    others=OTHER_WATERS,
    water_kg=st.floats(0.5, 20),
    water_c=st.floats(0, 60),
    ice_share=st.floats(0, 0.999),
)
def test_the_ice_is_found_again(
    solids: list[Charge], others: list[Charge], water_kg: float, water_c: float, ice_share: float
) -> None:
    ice_kg = ice_share * water_kg
    liquid = Charge(mass_kg=water_kg - ice_kg, temperature_c=water_c)
    mix_c = mix_temperature_c(solids=solids, waters=[*others, liquid], ice_kg=ice_kg)
    assume(0 <= mix_c <= 60)
    found_kg = ice_kg_for(mix_c, solids=solids, waters=others, water_kg=water_kg, water_c=water_c)
    assert found_kg == pytest.approx(ice_kg, abs=1e-6)


@given(solids=SOLIDS, water_kg=st.floats(0.5, 20), water_c=st.floats(0, 60))
def test_the_mix_lies_between_its_coldest_and_its_warmest(
    solids: list[Charge], water_kg: float, water_c: float
) -> None:
    mix_c = mix_temperature_c(solids=solids, waters=[Charge(mass_kg=water_kg, temperature_c=water_c)])
    all_c = [water_c, *(charge.temperature_c for charge in solids)]
    assert min(all_c) - 1e-9 <= mix_c <= max(all_c) + 1e-9


def test_no_ice_where_the_mix_is_cold_enough() -> None:
    solids = [Charge(mass_kg=20, temperature_c=15)]
    assert ice_kg_for(25, solids=solids, waters=[], water_kg=3, water_c=15) == 0


def test_more_ice_than_water_is_refused() -> None:
    with pytest.raises(ProportionError) as caught:
        ice_kg_for(0, solids=[Charge(mass_kg=100, temperature_c=40)], waters=[], water_kg=3, water_c=20)
    assert caught.value.why.code == "ice-over-water"
    assert isinstance(caught.value.why, IceOverWater)
    assert caught.value.why.ice_kg > 3


@pytest.mark.parametrize(
    ("solids_c", "wanted_c", "code"), [(40, 10, "water-would-freeze"), (5, 40, "water-would-boil")]
)
def test_water_that_would_freeze_or_boil_is_refused(solids_c: float, wanted_c: float, code: str) -> None:
    with pytest.raises(ProportionError) as caught:
        water_c_for(wanted_c, solids=[Charge(mass_kg=30, temperature_c=solids_c)], waters=[], water_kg=3)
    assert caught.value.why.code == code
    assert isinstance(caught.value.why, WaterWouldFreeze | WaterWouldBoil)
    assert caught.value.why.wanted_c == wanted_c


@pytest.mark.parametrize(
    "charge",
    [
        Charge(mass_kg=-1, temperature_c=20),
        Charge(mass_kg=math.nan, temperature_c=20),
        Charge(mass_kg=1, temperature_c=101),
        Charge(mass_kg=1, temperature_c=math.nan),
    ],
)
def test_a_spoilt_charge_is_refused(charge: Charge) -> None:
    with pytest.raises(ProportionError):
        mix_temperature_c(solids=[charge], waters=[])
    with pytest.raises(ProportionError):
        mix_temperature_c(solids=[], waters=[charge])


def test_nothing_has_no_temperature() -> None:
    with pytest.raises(ProportionError) as caught:
        mix_temperature_c(solids=[], waters=[])
    assert caught.value.why.code == "not-positive"


def test_plain_water_needs_no_caution() -> None:
    assert temperature_cautions(mix_c=20, water_c=38, water_kg=3, ice_kg=0.6, film_forming_c=20) == ()


def test_cautions_come_gravest_first_with_what_was_found() -> None:
    assert temperature_cautions(mix_c=8, water_c=60, water_kg=3, ice_kg=0.75, film_forming_c=10) == (
        WaterTooHot(found_c=60, limit_c=60),
        WaterOffCement(found_c=60, limit_c=38),
        MixBelowFilmForming(found_c=8, limit_c=10),
        IceOverSureShare(found_fraction=0.25, limit_fraction=0.2),
    )


def test_without_a_curing_polymer_cold_is_not_its_business() -> None:
    assert temperature_cautions(mix_c=3, water_c=10, water_kg=3) == ()


def test_ice_is_part_of_the_water() -> None:
    with pytest.raises(ProportionError) as caught:
        temperature_cautions(mix_c=20, water_c=20, water_kg=3, ice_kg=3.1)
    assert caught.value.why.code == "out-of-range"
