"""The order of a bucket: what the bench is told, in its recipe and beside it."""

import re
from dataclasses import replace
from fractions import Fraction

import pytest

from mixstation.batch.commands import AcknowledgeSafety
from mixstation.batch.events import Entry, Stamp
from mixstation.batch.run import fold
from mixstation.batch.targets import project
from mixstation.plan.buckets import Bucket
from mixstation.plan.dosing import Scale
from mixstation.plan.job_parts import JobPlan, Shop
from mixstation.plan.stock import StockLine
from mixstation.plan.vessels import VesselOnFile
from mixstation.planning.around import StockHeld
from mixstation.planning.kept import KeptPlan
from mixstation.planning.orders import lots_of, main_weighing, order_of, stock_of, to_keep
from mixstation.planning.talk import Planned, PlanTalk
from mixstation.recipe.model import AddStep
from mixstation.station.order import new_batch_id, start_fact
from mixstation.units.show import DisplayUnits
from tests.batch.follow import next_command
from tests.batch.making import Bench, Hands
from tests.depth import first
from tests.planning.yard import BENCH, FLOOR, SHOP, around, held, say, shipped, sill
from tests.station.clock import HandClock


def planned(shop: Shop = SHOP, recipe: str = "", sizes: tuple[str, ...] = ("700", "450", "18")) -> Planned:
    recipes = {recipe: shipped()[recipe]} if recipe else None
    talk = PlanTalk(around(shop=shop, recipes=recipes))
    say(talk, "1", *sizes, *[""] * (12 - len(sizes)))
    assert talk.planned is not None
    return talk.planned


def kept(of: Planned, units: DisplayUnits = DisplayUnits.METRIC) -> KeptPlan:
    return to_keep(of.plan, of.loaded, plan_id="p260504-beef", made_ms=0, units=units)


def says(plan: KeptPlan, material: str) -> str:
    steps = [s for s in plan.buckets[0].recipe.steps if isinstance(s, AddStep) and s.material == material]
    return " ".join(step.say for step in steps)


def apart(plan: KeptPlan) -> set[tuple[str, str, int]]:
    return {(each.material, each.scale, each.division_mg) for each in plan.buckets[0].weighed_apart}


@pytest.mark.parametrize("recipe", ["", "bench_top", "hearth_plate", "planter_wall"])
def test_the_bucket_asks_for_what_was_planned_dilutions_and_their_water_included(recipe: str) -> None:
    of = planned(recipe=recipe)
    plan = kept(of)
    slack_mg = 5_000 * (1 + sum(m.is_powder for m in of.loaded.recipe.materials))
    for number, bucket in enumerate(of.plan.buckets, start=1):
        start = start_fact(order_of(plan, number, None), "b")
        stamp = Stamp(utc_ms=0, offset_min=0, boot_ms=0, mono_ms=0, boot_id="b", who="")
        asked = project(fold((Entry(seq=1, stamp=stamp, fact=start),))).totals
        planned_mg: dict[str, int] = {}
        for line in bucket.weigh_outs:
            planned_mg[line.material] = planned_mg.get(line.material, 0) + line.mass_mg
        for key, mass_mg in planned_mg.items():
            assert abs(asked[key] - mass_mg) <= slack_mg, key


@pytest.mark.parametrize("recipe", ["", "bench_top", "hearth_plate", "planter_wall"])
@pytest.mark.parametrize("face", ["0", "3"])
@pytest.mark.parametrize("length_mm", first(1, (690, 560, 820)))
def test_the_screen_asks_for_the_very_figures_of_the_list(length_mm: int, recipe: str, face: str) -> None:
    """With a scale of 5 g, half a step of it would show; what the list puts on a finer scale is asked for there."""
    compared = 0
    of = planned(recipe=recipe, sizes=(str(length_mm), "437", "18", face))
    plan = kept(of)
    for number, bucket in enumerate(of.plan.buckets, start=1):
        start = start_fact(order_of(plan, number, None), "b")
        hands = Hands()
        entry = Entry(seq=1, stamp=hands.stamp(), fact=start)
        bench = Bench(run=fold([entry]), hands=hands, division_mg=FLOOR.division_mg)
        bench.does(AcknowledgeSafety())
        listed = {line.step: line for line in bucket.weigh_outs if line.division_mg == FLOOR.division_mg}
        while bench.standing.phase != "finish":
            step, dosing = bench.standing.step, bench.standing.dosing
            if isinstance(step, AddStep) and dosing is not None and step.key in listed:
                assert dosing.target_mg == listed.pop(step.key).mass_mg, (number, step.key)
                compared += 1
            bench.does(next_command(bench))
    assert compared > 5


def test_a_diluted_dose_says_how_it_is_made_and_weighed() -> None:
    of = planned()
    plan = kept(of)
    (weighing,) = (each for each in of.plan.weighings if each.dilution is not None)
    dilution = weighing.dilution
    assert dilution is not None
    ratio = 1 + dilution.water_mg // dilution.material_mg
    diluted = plan.buckets[0].recipe.material("plasticiser")
    assert diluted.name == f"Plasticiser, 1 in {ratio}"
    assert diluted.water_fraction == 1 - Fraction(32, 100) / ratio
    note = says(plan, "plasticiser")
    assert f"{dilution.material_mg // 1000} g Plasticiser in {dilution.water_mg // 1000} g water" in note
    assert note.startswith("On “bench”, out of ")
    assert "pounds" not in note
    assert " lb " in says(kept(of, DisplayUnits.US), "plasticiser")


def test_other_scales_are_named_and_the_main_one_is_not() -> None:
    plan = kept(planned())
    assert says(plan, "cement") == says(plan, "water") == ""
    assert says(plan, "fibre") == ""
    # The floor scale weighs the fibre well enough.
    assert apart(plan) == {("plasticiser", "bench", 1_000)}


def test_a_small_powder_in_shares_is_asked_for_on_the_fine_scale_at_each_of_them() -> None:
    fine = Scale(name="fine", capacity_mg=2_000_000, division_mg=100)
    plan = kept(planned(recipe="planter_wall", shop=replace(SHOP, scales=(FLOOR, fine))))
    assert ("metakaolin", "fine", 100) in apart(plan)
    asked = plan.buckets[0].recipe.steps
    assert sum(isinstance(step, AddStep) and step.material == "metakaolin" for step in asked) > 1


def test_a_dose_the_main_scale_can_weigh_too_keeps_to_it_with_a_note_where_the_plan_has_it() -> None:
    """The bucket is too heavy for either scale, so the plan takes the finest for each tub."""
    large = Scale(name="large", capacity_mg=7_000_000, division_mg=1_000)
    fine = Scale(name="fine", capacity_mg=2_000_000, division_mg=500)
    heavy = Shop(bucket=Bucket(volume_l=30.0, tare_mg=7_000_000), scales=(large, fine))
    plan = kept(planned(shop=heavy))
    assert plan.scale is not None
    assert plan.scale.name == "large"
    assert says(plan, "fibre").startswith("On “fine”, in a tub. ")
    # What of it is to be weighed a way out may change: that is the bench's to say.
    assert not re.search(r"\d\s?k?g\b", says(plan, "fibre"))
    assert "fibre" not in {material for material, _, _ in apart(plan)}


def test_a_start_has_what_the_plan_kept_of_its_scales() -> None:
    plan = kept(planned())
    start = start_fact(order_of(plan, 1, None), "b")
    assert start.weighed_apart == plan.buckets[0].weighed_apart != ()
    bare = replace(plan, buckets=tuple(replace(each, weighed_apart=()) for each in plan.buckets))
    assert start_fact(order_of(bare, 1, None), "b").weighed_apart == ()


def test_a_packet_is_weighed_before_and_after_where_no_dilution_will_do() -> None:
    coarse = Scale(name="yard", capacity_mg=60_000_000, division_mg=50_000)
    plan = kept(planned(shop=replace(SHOP, scales=(coarse,))))
    assert "Too small for “yard”: weigh the packet before and after" in says(plan, "fibre")


def test_without_a_scale_on_file_nothing_is_noted() -> None:
    plan = kept(planned(shop=replace(SHOP, scales=())))
    assert plan.scale is None
    assert plan.buckets[0].recipe == replace(sill().recipe, steps=plan.buckets[0].recipe.steps)
    assert says(plan, "plasticiser") == "Onto the water."


def plan_with(*scales: Scale) -> JobPlan:
    return planned(shop=Shop(bucket=Bucket(volume_l=12.0, tare_mg=700_000), scales=scales)).plan


def test_the_bench_works_with_the_scale_of_the_powders() -> None:
    assert main_weighing(plan_with(BENCH, FLOOR), "bucket") == (FLOOR, "bucket")
    assert main_weighing(plan_with(FLOOR), "supply") == (FLOOR, "supply")
    small = Scale(name="small", capacity_mg=2_000_000, division_mg=1_000)
    assert main_weighing(plan_with(small), "bucket") == (small, "tub")
    assert main_weighing(plan_with(), "tub") == (None, "tub")


def test_fills_of_a_tub_are_counted() -> None:
    small = Scale(name="small", capacity_mg=2_000_000, division_mg=1_000)
    plan = kept(planned(shop=Shop(bucket=Bucket(volume_l=30.0, tare_mg=700_000), scales=(small,))))
    assert plan.weighing == "tub"
    assert "Fill the tub " in says(plan, "cement")


def test_stock_names_only_what_is_kept_count_of() -> None:
    recipe = sill().recipe
    assert stock_of(recipe, recipe, None) == ()
    amounts = {a.material: a.mass_mg for a in stock_of(recipe, recipe, held(cement=3_000_000, fibre=0))}
    assert amounts == {"cement": 3_000_000, "fibre": 0}
    below = StockHeld(
        lines=(StockLine(material="sand", lot="", mass_mg=-5),), known=frozenset({"sand", "water"})
    )
    assert [(a.material, a.mass_mg) for a in stock_of(recipe, recipe, below)] == [("sand", 0)]


def test_all_marked_lots_on_hand_are_known() -> None:
    lines = (
        StockLine(material="cement", lot="A", mass_mg=5),
        StockLine(material="cement", lot="B", mass_mg=0),
        StockLine(material="sand", lot="C", mass_mg=5),
        StockLine(material="sand", lot="D", mass_mg=5),
        StockLine(material="fibre", lot="", mass_mg=5),
    )
    found = lots_of(sill().recipe, StockHeld(lines=lines, known=frozenset({"cement"})))
    assert [(lot.material, lot.lot) for lot in found] == [("cement", "A"), ("sand", "C"), ("sand", "D")]


def test_no_such_bucket() -> None:
    plan = kept(planned())
    for number in (0, len(plan.buckets) + 1):
        with pytest.raises(IndexError):
            order_of(plan, number, None)


def test_the_batch_is_named_after_plan_and_bucket() -> None:
    plan = kept(planned())
    assert new_batch_id(HandClock(), order_of(plan, 1, None)).endswith("-p260504-beef-1")


def test_the_vessels_on_file_come_with_the_order_of_each_bucket() -> None:
    vessels = (VesselOnFile(name="white tub", kind="tub", empty_mg=310_000),)
    plan = kept(planned(replace(SHOP, vessels=vessels)))
    assert start_fact(order_of(plan, 1, None), "b").vessels == vessels
