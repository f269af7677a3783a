"""Water and dosage worked by hand."""

import pytest

from mixstation.proportion.water import (
    emulsion_kg,
    fibre_kg,
    liquid_water_kg,
    moist_sand_kg,
    sand_water_kg,
    water_ratios,
    water_to_weigh_kg,
)


def test_bagged_blend() -> None:
    """50 lb of blend need 8.2 lb water, a ratio of 0.164; 20 lb need 0.164 × 20 = 3.28, 80 % of it is 2.624 lb.

    Common practice, no source.
    """
    ratio = 8.2 / 50
    assert ratio == pytest.approx(0.164)
    whole = water_to_weigh_kg(water_ratio=ratio, basis_kg=20, carried_kg=0)
    assert whole == pytest.approx(3.28)
    assert 0.8 * whole == pytest.approx(2.624)


def test_premix_ratios_grow_with_what_is_counted() -> None:
    """Cement 50, emulsion 5 at 50 % solids, plasticiser 0.5 with 70 % water, water 14.5 kg.

    Added 14.5/50 = 0.290. Emulsion brings 2.5: 17.0/50 = 0.340. Plasticiser brings 0.35: 17.35/50 = 0.347.
    The amounts are a GRC producer's published data sheet.
    """
    emulsion = liquid_water_kg(5, solids_fraction=0.5)
    plasticiser = liquid_water_kg(0.5, solids_fraction=0.3)
    assert (emulsion, plasticiser) == pytest.approx((2.5, 0.35))
    partly = water_ratios(added_kg=14.5, carried_kg=emulsion, binder_kg=50, cement_kg=50)
    wholly = water_ratios(added_kg=14.5, carried_kg=emulsion + plasticiser, binder_kg=50, cement_kg=50)
    assert partly.added_to_cement_ratio == pytest.approx(0.290)
    assert partly.all_to_cement_ratio == pytest.approx(0.340)
    assert wholly.all_to_cement_ratio == pytest.approx(0.347)


@pytest.mark.parametrize(("share", "expected_kg"), [(0.02, 2.4490), (0.03, 3.7113), (0.035, 4.3523)])
def test_fibre_in_120_kg_slurry(share: float, expected_kg: float) -> None:
    """120·p/(1 − p): 2.4/0.98 = 2.4490, 3.6/0.97 = 3.7113, 4.2/0.965 = 4.3523."""
    assert fibre_kg(120, fibre_fraction=share) == pytest.approx(expected_kg, abs=0.00005)


def test_polymer_and_the_water_it_leaves_to_weigh() -> None:
    """Cement 10 kg, 6 % solids of a 50 % emulsion, w/c 0.34.

    Solids 0.6, emulsion 0.6/0.5 = 1.2, its water 0.6; total 3.4, to weigh 3.4 − 0.6 = 2.8 kg.
    """
    emulsion = emulsion_kg(10, polymer_fraction=0.06, solids_fraction=0.5)
    carried = liquid_water_kg(emulsion, solids_fraction=0.5)
    assert (emulsion, carried) == pytest.approx((1.2, 0.6))
    assert water_to_weigh_kg(water_ratio=0.34, basis_kg=10, carried_kg=carried) == pytest.approx(2.8)


def test_moist_sand() -> None:
    """10 kg dry at 3 %, absorbing 0.7 %: weigh 10 × 1.03 = 10.300, water less by 10 × 0.023 = 0.230 kg.

    Method of ACI 211.1.
    """
    assert moist_sand_kg(10, moisture_fraction=0.03) == pytest.approx(10.3)
    carried = sand_water_kg(10, moisture_fraction=0.03, absorption_fraction=0.007)
    assert carried == pytest.approx(0.23)


def test_one_bucket_four_ratios() -> None:
    """Water 2.95, polymer liquid 1.13 at 50 %, binder 10.66 of which cement 7.94 kg: a printed recipe.

    All water 2.95 + 0.565 = 3.515. 2.95/10.66 = 0.277, 3.515/10.66 = 0.330, 2.95/7.94 = 0.372 (cut to 0.371 in the
    list it is from), 3.515/7.94 = 0.443. A hundredth on the binder is 0.1066 kg of water.
    """
    carried = liquid_water_kg(1.13, solids_fraction=0.5)
    ratios = water_ratios(added_kg=2.95, carried_kg=carried, binder_kg=10.66, cement_kg=7.94)
    assert ratios.added_to_binder_ratio == pytest.approx(0.277, abs=0.0005)
    assert ratios.all_to_binder_ratio == pytest.approx(0.330, abs=0.0005)
    assert ratios.added_to_cement_ratio == pytest.approx(0.3715, abs=0.00005)
    assert ratios.all_to_cement_ratio == pytest.approx(0.443, abs=0.0005)
    more = water_ratios(added_kg=3.057, carried_kg=carried, binder_kg=10.66, cement_kg=7.94)
    assert more.all_to_binder_ratio - ratios.all_to_binder_ratio == pytest.approx(0.010, abs=0.0001)
