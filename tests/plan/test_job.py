"""Whole jobs: masses close, ratios hold, and what cannot be is refused."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mixstation.plan.buckets import Bucket
from mixstation.plan.checks import YieldClaim
from mixstation.plan.dosing import Scale
from mixstation.plan.faults import PlanRefused
from mixstation.plan.job import plan_job
from mixstation.plan.job_parts import (
    ForBags,
    ForMass,
    ForPieces,
    ForStock,
    ForVolume,
    JobAmount,
    JobPlan,
    JobRequest,
    Shop,
)
from mixstation.plan.pieces import Piece, coats
from mixstation.plan.shapes import Slab
from mixstation.plan.stock import StockLine
from mixstation.plan.temperature import Climate
from mixstation.recipe.model import Basis, Recipe, SplitStep
from mixstation.recipe.proportions import volume_l, water_ratio
from mixstation.units.show import DisplayUnits
from mixstation.wording.plan_sections import plan_sections
from tests.depth import examples
from tests.plan.recipes import blend_recipe, random_recipes, raw_recipe

PLATFORM = Scale(name="platform", capacity_mg=60_000_000, division_mg=5000, checked=date(2026, 2, 1))
BENCH = Scale(name="bench", capacity_mg=3_000_000, division_mg=100, checked=date(2026, 2, 1))
SHOP = Shop(bucket=Bucket(volume_l=30.0, tare_mg=1_200_000), scales=(PLATFORM, BENCH), tub_tare_mg=150_000)


def bench_tops(count: int = 2, face_mm: float = 3.0, thickness_mm: float = 18.0) -> ForPieces:
    top = Piece(
        name="bench top",
        shape=Slab(length_mm=700, width_mm=450),
        layers=coats(thickness_mm, face_mm),
        count=count,
    )
    return ForPieces(pieces=(top,))


def job(amount: JobAmount, recipe: Recipe | None = None, shop: Shop = SHOP, **more: object) -> JobPlan:
    return plan_job(JobRequest(recipe=recipe or raw_recipe(), amount=amount, shop=shop, **more))  # type: ignore[arg-type]


def codes(plan: JobPlan) -> set[str]:
    return {caution.code for caution in plan.cautions}


def refusal(amount: JobAmount, **more: object) -> list[tuple[str, str]]:
    with pytest.raises(PlanRefused) as caught:
        job(amount, **more)  # type: ignore[arg-type]
    return [(fault.code, fault.about) for fault in caught.value.faults]


divisions_mg = st.sampled_from([10, 100, 1000, 2000, 5000])


@settings(max_examples=examples(60))
@given(
    random_recipes(),
    st.floats(min_value=4, max_value=80),
    st.integers(1, 5),
    divisions_mg,
    st.booleans(),
)
def test_masses_close_and_every_bucket_keeps_its_ratios(
    recipe: Recipe, volume: float, more_buckets: int, division_mg: int, with_face: bool
) -> None:
    scale = Scale(name="only", capacity_mg=100_000_000, division_mg=division_mg)
    shop = replace(SHOP, bucket=Bucket(volume_l=150.0), scales=(scale,))
    side_mm = (volume / 20) ** 0.5 * 1000
    slab = Slab(length_mm=side_mm, width_mm=side_mm)
    piece = Piece(name="plate", shape=slab, layers=coats(20, 3 if with_face else 0))
    plan = job(ForPieces(pieces=(piece,)), recipe, shop, bucket_count=more_buckets)
    totals = dict(plan.totals)
    for key in totals:
        assert sum(dict(bucket.amounts)[key] for bucket in plan.buckets) == totals[key]
    ways = {weighing.material: weighing for weighing in plan.weighings}
    for bucket in plan.buckets:
        amounts = dict(bucket.amounts)
        weighed: dict[str, int] = {}
        for line in bucket.weigh_outs:
            assert line.mass_mg % line.division_mg == 0
            assert line.mass_mg > 0
            weighed[line.material] = weighed.get(line.material, 0) + line.mass_mg
        for key, mass_mg in amounts.items():
            if ways[key].kind == "dilution" or key == "water":
                continue
            assert weighed.get(key, 0) == mass_mg
        if all(way.kind != "dilution" for way in ways.values()):
            assert weighed["water"] == amounts["water"]
        # One division of each of the two masses a ratio stands on is all it may differ by.
        binder_mg = amounts["cement"]
        slack = 4 * Fraction(division_mg, binder_mg)
        assert abs(water_ratio(recipe, amounts, Basis.BINDER) - recipe.water.target) <= slack
    # Powders are shared alike.
    for at, (key, _) in enumerate(plan.buckets[0].powders):
        masses = [bucket.powders[at][1] for bucket in plan.buckets]
        assert max(masses) - min(masses) <= division_mg, key
    # What the moulds get is what was asked for, to the divisions.
    assert plan.volume.mould_l == pytest.approx(volume, abs=1e-4 * volume + 6 * division_mg / 1e6)
    assert plan.volume.mixed_l == pytest.approx(
        plan.volume.mould_l + plan.volume.waste_l + plan.volume.loss_l
    )


def test_worked_bench_tops_with_a_face_coat() -> None:
    plan = job(bench_tops())
    # Two of 700 × 450 × 18 mm: 2 × 5.67 L, of which 2 × 0.945 L face coat; 8 % waste, 0.5 kg for the bucket.
    assert plan.volume.mould_l == pytest.approx(11.34, abs=0.01)
    (bucket,) = job(bench_tops(), bucket_count=1).buckets
    (face,) = bucket.take_outs
    assert face.layer == "face coat"
    split = next(step for step in bucket.recipe.steps if isinstance(step, SplitStep))
    before_fibre_mg = bucket.mass_mg - dict(bucket.amounts)["fibre"]
    assert face.mass_mg == pytest.approx(float(split.fraction) * before_fibre_mg, abs=10_000)
    # Slurry without fibres fills face_mass / (mass without fibres) of its volume.
    amounts = dict(bucket.amounts) | {"fibre": 0}
    face_l = volume_l(bucket.recipe, amounts) * face.mass_mg / before_fibre_mg
    assert face_l == pytest.approx(2 * 0.945 * 1.08, rel=0.002)
    # Fibre is dosed on what is left: 3 % of the backing.
    backing_mg = bucket.mass_mg - face.mass_mg
    assert dict(bucket.amounts)["fibre"] / backing_mg == pytest.approx(0.03, abs=2e-4)


def test_only_the_first_bucket_gives_face_coat_and_the_others_follow_a_recipe_without_it() -> None:
    plan = job(bench_tops(count=6))
    assert len(plan.buckets) == plan.easy_count
    first, *others = plan.buckets
    assert first.take_outs
    assert all(not bucket.take_outs for bucket in others)
    assert all(not isinstance(step, SplitStep) for bucket in others for step in bucket.recipe.steps)
    assert dict(first.amounts)["fibre"] < dict(others[0].amounts)["fibre"]


def test_a_recipe_without_a_split_gets_one_before_its_fibres() -> None:
    plan = job(bench_tops(), blend_recipe())
    keys = [step.key for step in plan.buckets[0].recipe.steps]
    assert keys[-2:] == ["face-coat-off", "add-fibre"]
    assert "split-added" in codes(plan)


def test_a_split_that_no_piece_wants_is_left_out() -> None:
    plan = job(bench_tops(face_mm=0))
    assert all(not isinstance(step, SplitStep) for step in plan.buckets[0].recipe.steps)
    assert "split-left-out" in codes(plan)


def test_a_bag_is_used_up_and_never_over() -> None:
    plan = job(ForBags(material="cement"))
    assert dict(plan.totals)["cement"] == 25_000_000
    # A bag that is no whole number of divisions is not asked to hold more than it does.
    recipe = blend_recipe()
    blend = replace(recipe.material("blend"), pack_mg=22_679_618)
    pounds = replace(
        recipe, materials=tuple(blend if each.key == "blend" else each for each in recipe.materials)
    )
    assert dict(job(ForBags(material="blend"), pounds).totals)["blend"] == 22_675_000
    half = job(ForBags(material="cement", count=Fraction(1, 2)))
    assert dict(half.totals)["cement"] == 12_500_000
    (per_bag,) = plan.per_bag
    assert (per_bag.material, dict(per_bag.amounts)["cement"]) == ("cement", 25_000_000)


def test_a_bags_batch_is_told_in_the_large_scales_steps_wherever_it_can_weigh_them() -> None:
    """A bucket's ochre goes on the bench scale in steps of 0.1 g; a bag's 750 g are enough for steps of 5 g."""
    plan = job(bench_tops(count=1))
    (bag,) = plan.per_bag
    assert {each.material: each.division_mg for each in plan.weighings}["ochre"] == BENCH.division_mg
    amounts, steps_mg = dict(bag.amounts), dict(bag.steps_mg)
    fine = {key for key, step_mg in steps_mg.items() if step_mg != PLATFORM.division_mg}
    assert fine == {"plasticiser"}
    assert all(amounts[key] % steps_mg[key] == 0 for key in amounts)
    (told,) = (
        line
        for line in plan_sections(plan, DisplayUnits.METRIC).bag.lines
        if "makes" in line and "25 kg" in line
    )
    assert " 750 g " in told


def test_a_chosen_mass() -> None:
    plan = job(ForMass(mass_mg=24_000_000))
    assert sum(dict(plan.totals).values()) == pytest.approx(24_000_000, abs=20_000)


def test_the_largest_batch_from_stock_takes_no_more_than_there_is() -> None:
    stock = (
        StockLine(material="cement", lot="A", mass_mg=9_400_000, pack_mg=25_000_000),
        StockLine(material="sand", lot="B", mass_mg=60_000_000, pack_mg=25_000_000),
        StockLine(material="emulsion", lot="", mass_mg=3_000_000, pack_mg=10_000_000),
        StockLine(material="plasticiser", lot="", mass_mg=900_000),
        StockLine(material="ochre", lot="", mass_mg=900_000),
        StockLine(material="fibre", lot="", mass_mg=4_000_000),
    )
    plan = job(ForStock(), stock=stock)
    assert plan.limited_by == "cement"
    assert dict(plan.totals)["cement"] == 9_400_000
    assert all(take.short_mg == 0 for take in plan.stock)


def test_stock_says_what_is_short_and_what_to_buy() -> None:
    stock = (StockLine(material="cement", lot="A", mass_mg=4_000_000, pack_mg=25_000_000),)
    plan = job(bench_tops(), stock=stock)
    takes = {take.material: take for take in plan.stock}
    cement_mg = dict(plan.totals)["cement"]
    assert takes["cement"].short_mg == cement_mg - 4_000_000
    assert takes["cement"].buy_count == 1
    assert "water" not in takes
    assert ("short", "cement") in {(caution.code, caution.about) for caution in plan.cautions}


def test_density_and_yield_that_cannot_be() -> None:
    assert "density-contradicts" in codes(job(bench_tops(), density_kg_m3=1850.0))
    assert "denser-than-air-free" in codes(job(bench_tops(), density_kg_m3=2400.0))
    near = job(bench_tops()).computed_kg_m3 * 0.97
    assert not codes(job(bench_tops(), density_kg_m3=near)) & {"density-contradicts", "denser-than-air-free"}
    boast = YieldClaim(mass_mg=20_000_000, of="powder", claimed_l=15.0)
    assert "yield-contradicts" in codes(job(bench_tops(), blend_recipe(), claim=boast))
    fair = YieldClaim(mass_mg=20_000_000, of="powder", claimed_l=10.7)
    assert "yield-contradicts" not in codes(job(bench_tops(), blend_recipe(), claim=fair))


def test_cost_is_shared_by_volume() -> None:
    small = Piece(name="small", shape=Slab(length_mm=300, width_mm=300), layers=coats(20), count=2)
    large = Piece(name="large", shape=Slab(length_mm=600, width_mm=600), layers=coats(20))
    plan = job(ForPieces(pieces=(small, large)))
    costs = {piece.piece.name: piece.cost_cents for piece in plan.pieces}
    assert costs["large"] == pytest.approx(4 * costs["small"], abs=3)
    assert 2 * costs["small"] + costs["large"] == pytest.approx(plan.cost.total_cents, abs=2)
    assert plan.cost.unpriced == ("ochre", "fibre")


def test_loads_and_fills_are_cautioned() -> None:
    plan = job(bench_tops(count=6), bucket_count=2)
    assert {"bucket-above-easy", "bucket-heavy"} <= codes(plan)
    slab = Piece(name="hearth", shape=Slab(length_mm=1200, width_mm=600), layers=coats(20))
    assert "piece-heavy" in codes(job(ForPieces(pieces=(slab,))))
    assert "piece-heavy" not in codes(job(bench_tops()))


def test_ratios_stand_side_by_side() -> None:
    ratios = {(ratio.water, ratio.of): ratio for ratio in job(bench_tops()).ratios}
    assert ratios["all", Basis.BINDER].ratio == Fraction(33, 100)
    assert ratios["all", Basis.BINDER].steers
    # 10 kg cement, 9 kg sand: 3.3 kg water, of it 1 × 1/2 emulsion, 0.06 × 0.7 plasticiser, 0.18 sand.
    assert ratios["added", Basis.CEMENT].ratio == Fraction(33 * 100 - 500 - 42 - 180, 10_000)
    assert {ratio.of for ratio in job(bench_tops(), blend_recipe()).ratios} == {Basis.POWDER}


def test_temperature_sets_the_working_time_of_the_timing() -> None:
    warm = job(bench_tops(), climate=Climate(shop_c=31.0))
    mild = job(bench_tops(), climate=Climate(shop_c=18.0))
    assert warm.timing is not None
    assert mild.timing is not None
    assert warm.timing.buckets[0].stiff_min < mild.timing.buckets[0].stiff_min
    assert "stiff-before-placed" in codes(warm)


def test_one_bucket_of_one_coat_needs_no_timing() -> None:
    assert job(bench_tops(count=1, face_mm=0)).timing is None


def test_without_scales_weights_are_typed_to_a_gram() -> None:
    plan = job(bench_tops(), shop=replace(SHOP, scales=()))
    assert "no-scale" in codes(plan)
    assert {line.division_mg for bucket in plan.buckets for line in bucket.weigh_outs} == {1000}


def test_refuses_what_cannot_be() -> None:
    assert refusal(ForPieces(pieces=())) == [("nothing-to-mix", "")]
    assert refusal(ForVolume(volume_l=float("nan"))) == [("volume-range", "")]
    assert refusal(ForVolume(volume_l=0)) == [("volume-range", "")]
    assert refusal(ForBags(material="water")) == [("no-pack-size", "water")]
    assert refusal(ForBags(material="lime")) == [("unknown-material", "lime")]
    assert refusal(ForStock()) == [("stock-unknown", "")]
    assert refusal(bench_tops(count=8), bucket_count=1) == [("bucket-over-limit", "")]
    assert refusal(bench_tops(), bucket_count=0, density_kg_m3=20.0) == [
        ("bucket-count", ""),
        ("density-range", ""),
    ]
    bad = replace(
        SHOP, scales=(Scale(name="odd", capacity_mg=100, division_mg=0),), waste_fraction=Fraction(-1)
    )
    assert refusal(bench_tops(), shop=bad) == [("waste-range", ""), ("scale-figures", "odd")]
    for setting in ("loss_per_bucket_mg", "tub_tare_mg"):
        negative = replace(SHOP, **{setting: -1})
        assert refusal(bench_tops(), shop=negative) == [("negative-setting", "")]
    bucket = replace(SHOP.bucket, tare_mg=-1)
    assert refusal(bench_tops(), shop=replace(SHOP, bucket=bucket)) == [("negative-setting", "")]


def test_a_bucket_without_a_powder_is_no_bucket() -> None:
    """Half of what the scale that carries it shows in a step is nothing; a little more is a step of a powder."""
    assert refusal(ForMass(mass_mg=100)) == [("under-a-division", "")]
    assert job(ForMass(mass_mg=100_000)).buckets


def test_a_shop_may_lose_nothing_and_weigh_from_nothing() -> None:
    """A bucket and a tub set to zero on the scale have no weight of their own."""
    bucket = replace(SHOP.bucket, tare_mg=0)
    shop = replace(SHOP, bucket=bucket, tub_tare_mg=0, loss_per_bucket_mg=0)
    assert job(bench_tops(), shop=shop).buckets


def test_no_plan_has_more_than_a_hundred_buckets() -> None:
    # A bucket of 30 L mixes 10 L with ease and 20 L at most; some 0.2 L stays in it, and 8 % is waste.
    plan = job(ForVolume(volume_l=900.0))
    assert (len(plan.buckets), plan.least_count) == (100, 50)
    for volume in (1000.0, 20_000.0):
        assert refusal(ForVolume(volume_l=volume)) == [("too-many-buckets", "")]
    assert refusal(ForVolume(volume_l=50.0), bucket_count=101) == [("too-many-buckets", "")]
    # Fuller buckets are a choice, and must be asked for.
    assert len(job(ForVolume(volume_l=1000.0), bucket_count=60).buckets) == 60


def test_refuses_with_the_faults_of_all_pieces() -> None:
    one = Piece(name="one", shape=Slab(length_mm=0, width_mm=300), layers=coats(20))
    two = Piece(name="two", shape=Slab(length_mm=600, width_mm=15), layers=coats(20))
    assert refusal(ForPieces(pieces=(one, two))) == [
        ("size-not-positive", "one"),
        ("thickness-over-piece", "two"),
    ]


def test_the_same_request_gives_the_same_plan() -> None:
    assert job(bench_tops()) == job(bench_tops())


def test_a_thin_bench_top_and_an_old_scale_are_cautioned() -> None:
    old = replace(PLATFORM, checked=date(2024, 1, 1))
    plan = job(bench_tops(thickness_mm=8), shop=replace(SHOP, scales=(old,)), today=date(2026, 3, 1))
    assert {"thickness-unusual", "scale-check-old"} <= codes(plan)
