"""Water carried, water to weigh, and the ratios."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.proportion.error import ProportionError
from mixstation.proportion.water import (
    dry_sand_kg,
    emulsion_kg,
    fibre_kg,
    liquid_water_kg,
    moist_sand_kg,
    sand_moisture_fraction,
    sand_water_kg,
    water_ratios,
    water_to_weigh_kg,
)

MASS_KG = st.floats(min_value=0.001, max_value=1000)
MOISTURE = st.floats(min_value=0, max_value=1)


@given(dry_kg=MASS_KG, moisture=MOISTURE)
def test_dry_sand_turns_moist_sand_round(dry_kg: float, moisture: float) -> None:
    moist_kg = moist_sand_kg(dry_kg, moisture_fraction=moisture)
    assert moist_kg >= dry_kg
    assert dry_sand_kg(moist_kg, moisture_fraction=moisture) == pytest.approx(dry_kg, rel=1e-12)


@given(dry_kg=MASS_KG, moisture=MOISTURE)
def test_a_pan_test_finds_the_moisture_that_was_put_in(dry_kg: float, moisture: float) -> None:
    moist_kg = moist_sand_kg(dry_kg, moisture_fraction=moisture)
    assert sand_moisture_fraction(wet_kg=moist_kg, dry_kg=dry_kg) == pytest.approx(moisture, abs=1e-12)


@given(cement_kg=MASS_KG, polymer=st.floats(0.001, 0.2), solids=st.floats(0.05, 1))
def test_the_emulsion_brings_the_solids_asked_for(cement_kg: float, polymer: float, solids: float) -> None:
    weigh_kg = emulsion_kg(cement_kg, polymer_fraction=polymer, solids_fraction=solids)
    brought_kg = weigh_kg - liquid_water_kg(weigh_kg, solids_fraction=solids)
    assert brought_kg / cement_kg == pytest.approx(polymer, rel=1e-9)


@given(slurry_kg=MASS_KG, share=st.floats(0, 0.5))
def test_fibre_is_a_share_of_the_whole(slurry_kg: float, share: float) -> None:
    added_kg = fibre_kg(slurry_kg, fibre_fraction=share)
    assert added_kg / (slurry_kg + added_kg) == pytest.approx(share, abs=1e-12)


@given(
    ratio=st.floats(0.2, 0.6),
    binder_kg=st.floats(1, 100),
    cement_share=st.floats(0.5, 1),
    carried_share=st.floats(-0.1, 0.9),
)
def test_the_water_weighed_gives_the_ratio_back(
    ratio: float, binder_kg: float, cement_share: float, carried_share: float
) -> None:
    carried_kg = carried_share * ratio * binder_kg
    added_kg = water_to_weigh_kg(water_ratio=ratio, basis_kg=binder_kg, carried_kg=carried_kg)
    ratios = water_ratios(
        added_kg=added_kg,
        carried_kg=carried_kg,
        binder_kg=binder_kg,
        cement_kg=cement_share * binder_kg,
    )
    assert ratios.all_to_binder_ratio == pytest.approx(ratio)
    assert ratios.all_to_cement_ratio == pytest.approx(ratio / cement_share)
    assert ratios.added_to_binder_ratio == pytest.approx(ratio * (1 - carried_share))
    assert ratios.added_to_cement_ratio == pytest.approx(ratio * (1 - carried_share) / cement_share)


def test_dry_sand_drinks() -> None:
    assert sand_water_kg(10, moisture_fraction=0.002, absorption_fraction=0.01) == pytest.approx(-0.08)


def test_water_that_others_bring_may_be_all_of_it_but_no_more() -> None:
    assert water_to_weigh_kg(water_ratio=0.5, basis_kg=8, carried_kg=4) == 0
    with pytest.raises(ProportionError) as caught:
        water_to_weigh_kg(water_ratio=0.5, basis_kg=8, carried_kg=4.5)
    assert caught.value.code == "carried-over-total"
    assert caught.value.values == {"carried_kg": 4.5, "total_kg": 4.0}


def test_sand_does_not_gain_in_the_pan() -> None:
    with pytest.raises(ProportionError) as caught:
        sand_moisture_fraction(wet_kg=0.5, dry_kg=0.6)
    assert caught.value.code == "heavier-after-drying"


def test_cement_is_part_of_the_binder() -> None:
    with pytest.raises(ProportionError) as caught:
        water_ratios(added_kg=2, carried_kg=0, binder_kg=7, cement_kg=8)
    assert caught.value.code == "cement-over-binder"


def test_sand_cannot_drink_more_than_there_is() -> None:
    with pytest.raises(ProportionError) as caught:
        water_ratios(added_kg=0.1, carried_kg=-0.2, binder_kg=9, cement_kg=8)
    assert caught.value.code == "water-below-nought"


def test_an_emulsion_needs_solids() -> None:
    with pytest.raises(ProportionError) as caught:
        emulsion_kg(8, polymer_fraction=0.05, solids_fraction=0)
    assert caught.value.code == "not-positive"
