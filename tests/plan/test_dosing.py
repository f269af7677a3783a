"""Which scale weighs which dose, and what to do where none can."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.plan.dosing import (
    DoseToWeigh,
    DoseWeighing,
    Scale,
    choose_weighing,
    dilutable,
    scale_cautions,
    smallest_dose_mg,
    tolerance_fraction,
)
from mixstation.recipe.model import Tolerance
from tests.plan.recipes import raw_recipe

PLATFORM = Scale(name="platform", capacity_mg=60_000_000, division_mg=20_000)
BENCH = Scale(name="bench", capacity_mg=6_000_000, division_mg=1000)
FINE = Scale(name="fine", capacity_mg=500_000, division_mg=10)


def dose(
    mass_mg: float, *, additions: int = 1, diluted: bool = False, tolerance: str = "3/100"
) -> DoseToWeigh:
    return DoseToWeigh(
        material="test",
        mass_mg=Fraction(mass_mg),
        shares=(Fraction(1, additions),) * additions,
        tolerance_fraction=Fraction(tolerance),
        may_be_diluted=diluted,
    )


def choose(
    wanted: DoseToWeigh, *scales: Scale, bucket_count: int = 1, water_mg: int = 3_000_000
) -> DoseWeighing:
    return choose_weighing(
        wanted,
        scales,
        bucket_tare_mg=1_000_000,
        bucket_full_mg=20_000_000,
        tub_tare_mg=100_000,
        bucket_count=bucket_count,
        bucket_water_mg=water_mg,
    )


def test_smallest_dose_by_hand() -> None:
    # 2/√6 g of rounding are 0.8165 g, which is 3 % of 27.217 g; four weighings have twice that.
    assert smallest_dose_mg(1000, tolerance=Fraction(3, 100)) == 27_217
    assert smallest_dose_mg(1000, tolerance=Fraction(3, 100), weighings_count=4) == 54_434


@given(st.integers(1, 10_000), st.integers(1, 100), st.integers(1, 5))
def test_at_the_smallest_dose_the_tolerance_just_holds_the_rounding(
    division_mg: int, per_mille: int, count: int
) -> None:
    tolerance = Fraction(per_mille, 1000)
    least_mg = smallest_dose_mg(division_mg, tolerance=tolerance, weighings_count=count)
    error_mg = 2 * division_mg * (count / 6) ** 0.5
    assert least_mg * tolerance >= error_mg - 1e-6
    assert (least_mg - 1) * tolerance < error_mg + 1e-6


def test_large_doses_go_into_the_bucket_on_the_scale_and_small_ones_into_a_tub() -> None:
    assert choose(dose(5_000_000), PLATFORM, BENCH, FINE).scale == "platform"
    small = choose(dose(60_000), PLATFORM, BENCH, FINE)
    assert (small.kind, small.scale, small.vessel) == ("weigh", "fine", "tub")
    middle = choose(dose(500_000), PLATFORM, BENCH, FINE)
    assert (middle.scale, middle.vessel, middle.fills_count) == ("bench", "tub", 1)


def test_tare_and_mass_stay_within_capacity() -> None:
    # 12 kg in a 6 kg scale with a 100 g tub: three fills of at most 5.9 kg.
    way = choose(dose(12_000_000), BENCH)
    assert (way.vessel, way.fills_count) == ("tub", 3)
    assert way.least_mg == smallest_dose_mg(BENCH.division_mg, tolerance=Fraction(3, 100), weighings_count=3)


@pytest.mark.parametrize(("capacity_mg", "vessel"), [(21_000_000, "bucket"), (20_999_000, "tub")])
def test_the_bucket_itself_counts_against_capacity(capacity_mg: int, vessel: str) -> None:
    """1 kg of bucket and 20 kg in it make 21 kg."""
    way = choose(dose(5_000_000), replace(BENCH, capacity_mg=capacity_mg))
    assert (way.kind, way.vessel) == ("weigh", vessel)


@pytest.mark.parametrize(("mass_mg", "fills"), [(400_000, 1), (400_001, 2), (800_000, 2), (800_001, 3)])
def test_the_tub_itself_counts_against_capacity(mass_mg: int, fills: int) -> None:
    """100 g of tub leave 400 g on a scale of 500 g."""
    way = choose(dose(mass_mg), FINE)
    assert (way.kind, way.vessel, way.fills_count) == ("weigh", "tub", fills)


def test_a_scale_that_the_tub_alone_fills_weighs_nothing() -> None:
    full = replace(FINE, capacity_mg=100_000)
    assert choose(dose(50_000), full).kind == "difference"
    assert choose(dose(50_000), full, BENCH).scale == "bench"


def test_of_two_scales_that_do_the_same_the_finer_one() -> None:
    coarse = replace(FINE, name="coarse", division_mg=100)
    assert choose(dose(60_000), coarse, FINE).scale == choose(dose(60_000), FINE, coarse).scale == "fine"
    # By difference too, in whatever order they stand on file.
    for scales in ((BENCH, PLATFORM), (PLATFORM, BENCH)):
        assert choose(dose(9_000), *scales).scale == "bench"


@pytest.mark.parametrize(("mass_mg", "kind"), [(27_217, "weigh"), (27_216, "difference")])
def test_the_smallest_dose_itself_is_weighed(mass_mg: int, kind: str) -> None:
    assert choose(dose(mass_mg), BENCH).kind == kind


def test_a_dilution_stays_within_capacity_with_its_tub_and_within_the_water_there_is() -> None:
    found = choose(dose(9_000, diluted=True), BENCH, bucket_count=3).dilution
    assert found is not None
    whole_mg = found.material_mg + found.water_mg
    for over_mg, kind in ((0, "dilution"), (-1, "difference")):
        scale = replace(BENCH, capacity_mg=whole_mg + 100_000 + over_mg)
        assert choose(dose(9_000, diluted=True), scale, bucket_count=3).kind == kind
        water_mg = found.portion_water_mg + over_mg
        assert choose(dose(9_000, diluted=True), BENCH, bucket_count=3, water_mg=water_mg).kind == kind


def test_no_dilution_weaker_than_can_be_stirred_evenly() -> None:
    """1 g on a 2 g scale would need 77 parts; that much water would be there."""
    coarse = replace(PLATFORM, division_mg=2000)
    assert choose(dose(1_000, diluted=True), coarse).kind == "difference"


def test_the_largest_share_sets_the_fills() -> None:
    uneven = replace(dose(12_000_000), shares=(Fraction(4, 5), Fraction(1, 5)))
    assert choose(uneven, BENCH).fills_count == 2


@given(
    st.integers(100, 20_000_000),
    st.integers(1, 4),
    st.lists(st.sampled_from([PLATFORM, BENCH, FINE]), min_size=1, unique=True),
    st.integers(0, 2_000_000),
)
def test_what_is_said_to_be_weighable_is(
    mass_mg: int, additions: int, scales: list[Scale], tub_mg: int
) -> None:
    wanted = dose(mass_mg, additions=additions)
    way = choose_weighing(
        wanted,
        scales,
        bucket_tare_mg=1_000_000,
        bucket_full_mg=20_000_000,
        tub_tare_mg=tub_mg,
        bucket_count=2,
        bucket_water_mg=0,
    )
    scale = next(each for each in scales if each.name == way.scale)
    if way.kind == "weigh":
        assert way.error_fraction < wanted.tolerance_fraction
        load_mg = 21_000_000 if way.vessel == "bucket" else tub_mg + mass_mg / additions / way.fills_count
        assert load_mg <= scale.capacity_mg
    else:
        assert way.kind == "difference"
        for each in scales:
            fits = each.capacity_mg >= 21_000_000 or mass_mg / additions + tub_mg <= each.capacity_mg
            least_mg = smallest_dose_mg(
                each.division_mg, tolerance=Fraction(3, 100), weighings_count=additions
            )
            assert not (fits and mass_mg >= least_mg)


def test_a_small_liquid_dose_becomes_a_dilution_that_a_coarse_scale_can_weigh() -> None:
    # 9 g on a 1 g scale at 3 %; three buckets.
    way = choose(dose(9_000, diluted=True), BENCH, bucket_count=3)
    assert way.kind == "dilution"
    found = way.dilution
    assert found is not None
    ratio = Fraction(found.material_mg + found.water_mg, found.material_mg)
    assert found.portion_mg / ratio == 9_000
    assert found.portion_water_mg == found.portion_mg - 9_000
    assert found.material_mg - found.over_mg == 27_000
    # Both weighings together stay inside the tolerance.
    once = 0.8165 * 1000 / found.material_mg
    portion = 0.8165 * 1000 / found.portion_mg
    assert (once**2 + portion**2) ** 0.5 < 0.03
    assert all(mass % 1000 == 0 for mass in (found.material_mg, found.water_mg, found.portion_mg))


def test_no_dilution_with_more_water_than_the_bucket_takes() -> None:
    assert choose(dose(9_000, diluted=True), BENCH, water_mg=30_000).kind == "difference"


def test_a_small_dry_dose_is_weighed_by_difference_on_the_finest_scale() -> None:
    way = choose(dose(9_000), PLATFORM, BENCH)
    assert (way.kind, way.scale) == ("difference", "bench")
    assert way.error_fraction == pytest.approx(0.8165 / 9, rel=1e-3)


def test_without_a_scale() -> None:
    way = choose(dose(9_000))
    assert (way.kind, way.scale, way.division_mg) == ("no-scale", "", 1000)


def test_one_sided_tolerances() -> None:
    assert tolerance_fraction(Tolerance(under=Fraction(1, 100), over=Fraction(4, 100))) == Fraction(1, 100)
    assert tolerance_fraction(Tolerance(under=Fraction(0), over=Fraction(4, 100))) == Fraction(2, 100)
    assert tolerance_fraction(Tolerance(under=Fraction(0), over=Fraction(0))) > 0


def test_what_may_be_diluted() -> None:
    recipe = raw_recipe()
    assert [each.key for each in recipe.materials if dilutable(recipe, each.key)] == [
        "emulsion",
        "plasticiser",
        "ochre",
    ]
    folded = replace(recipe, steps=(*[s for s in recipe.steps if s.key != "add-ochre"], recipe.steps[2]))
    assert not dilutable(folded, "ochre")


def test_scales_want_a_yearly_check() -> None:
    scales = (
        replace(BENCH, checked=date(2025, 3, 1)),
        replace(FINE, checked=date(2025, 2, 27)),
        PLATFORM,
    )
    found = [(c.code, c.about) for c in scale_cautions(scales, date(2026, 3, 1))]
    assert found == [("scale-check-old", "fine"), ("scale-unchecked", "platform")]
    assert [c.about for c in scale_cautions(scales, None)] == ["platform"]
