"""Every mishap of the trade's table, and the ways out it should bring. Common practice, no source."""

from dataclasses import replace
from fractions import Fraction

import pytest

from mixstation.batch.events import ConsistencyJudged, FlagRaised, StepDone, StepSkipped, SupplyRanOut
from mixstation.batch.way import BucketOver, StockLacks, Way, way_taken
from mixstation.recipe.model import Cap, Dose, Role
from tests.batch.ways.bucket import (
    BLEND,
    BLEND_KG,
    RAW,
    RAW_KG,
    begin,
    limits,
    listed,
    material,
    of_kind,
    per_mille,
    removed,
    scooped,
    told,
    total,
    weighed,
    work,
    worked,
)


def kinds(ways: tuple[Way, ...]) -> list[str]:
    return [way.kind for way in ways if not way.hindrances]


def now(way: Way) -> dict[str, int]:
    return {amount.material: amount.mass_mg for amount in way.additions}


def test_too_much_water_with_only_water_in_is_poured_back() -> None:
    run = worked(BLEND, "blend-50", water_80="1.4")
    ways = listed(run)
    assert kinds(ways) == ["pour-back", "leave", "discard"]
    poured = ways[0]
    assert poured.pour_back_mg == 670_000
    assert poured.wasted_mg == 0
    assert float(poured.ratio or 0) == pytest.approx(0.150)


def test_too_much_water_in_the_first_share_only_loses_nothing() -> None:
    run = worked(BLEND, "blend-100", water_80="1.12")
    ways = listed(run)
    assert ways[0].kind == "hold-less"
    assert ways[0].additions == ()
    assert ways[0].gives_up == ()
    assert float(ways[0].ratio or 0) == pytest.approx(0.150)


def test_too_much_water_beyond_the_total_grows_or_takes_powder_only() -> None:
    planned = worked(RAW, "fibre-100")
    run = worked(RAW, "fibre-100", water_80="1.42")
    ways = listed(run)
    assert kinds(ways) == ["grow", "powder-only", "leave", "discard"]
    grow, powder_only = ways[0], ways[1]
    factor = float(run.content["water"] / planned.content["water"])
    assert factor > 1.1
    for key in ("cement", "pozzolan", "sand", "polymer", "pigment"):
        assert total(grow, key) / float(planned.content[key]) == pytest.approx(factor, rel=0.01)
    assert set(now(powder_only)) == {"cement", "pozzolan", "sand"}
    assert run.recipe.water.target < (powder_only.ratio or 0) <= run.recipe.water.most
    assert now(powder_only)["cement"] < now(grow)["cement"]
    assert total(powder_only, "plasticiser") == run.content["plasticiser"]


@pytest.mark.parametrize(("factor", "found"), [("1.42", ["grow", "powder-only"]), ("1.45", ["grow", "grow"])])
def test_added_powder_is_never_neat_cement(factor: str, found: list[str]) -> None:
    run = worked(RAW, "fibre-100", water_80=factor)
    with_cement = [way for way in listed(run) if "cement" in now(way)]
    assert [way.kind for way in with_cement] == found
    for way in with_cement:
        assert now(way)["sand"] == pytest.approx(1.02 * now(way)["cement"], abs=20_000)


def test_bucket_too_small_to_grow_asks_to_take_some_out_first() -> None:
    run = worked(BLEND, "fibre-100", bucket_l=11.3, release="2")
    run = weighed(run, "water", 250_000, None)
    ways = listed(run)
    assert kinds(ways)[0] == "scoop-and-grow"
    assert ways[0].scoop_mg > 0
    assert ways[0].volume_l <= 11.3 * 0.667
    stopped = ways[-1]
    assert stopped.hindrances == (BucketOver(over_l=pytest.approx(stopped.volume_l - 11.3 * 0.667)),)


def test_no_powder_to_grow_with_says_how_much_is_missing() -> None:
    run = worked(BLEND, "fibre-100", release="2")
    run = weighed(run, "water", 250_000, None)
    ways = listed(run, stock_mg={"blend": 200_000})
    assert kinds(ways) == ["leave", "discard"]
    (missing,) = ways[-1].hindrances
    needed_mg = float(run.content["water"] / run.recipe.water.most - run.content["blend"])
    assert isinstance(missing, StockLacks)
    assert missing.material == "blend"
    assert float(missing.short_mg) == pytest.approx(needed_mg - 200_000, abs=80_000)


def test_too_much_plasticiser_is_left_grown_or_the_water_held() -> None:
    run = worked(RAW, "mix-2", plasticiser_100="1.5")
    ways = listed(run)
    assert [way.goal for way in ways if way.kind == "leave"] == ["hold-water", ""]
    held = next(way for way in ways if way.goal == "hold-water")
    assert held.ratio is not None
    assert run.recipe.water.least <= held.ratio < run.recipe.water.target
    assert of_kind(ways, "leave").gives_up == ()
    grown = of_kind(ways, "grow")
    assert total(grown, "cement") == pytest.approx(9_000_000, rel=0.02)


def test_plasticiser_over_its_label_is_not_left_in_silence() -> None:
    run = worked(RAW, "fibre-100", bucket_l=12.0, plasticiser_100="3")
    ways = listed(run)
    left = next(way for way in ways if way.kind == "leave" and not way.goal)
    assert "dose-over-cap" in left.gives_up
    for way in ways:
        if way.kind not in ("leave", "discard") and not way.hindrances:
            binder = total(way, "cement") + total(way, "pozzolan")
            assert total(way, "plasticiser") <= 0.012 * binder


def test_too_much_pigment_is_grown_or_left_darker() -> None:
    run = worked(RAW, "fibre-100", pigment_100="1.3")
    ways = listed(run)
    assert kinds(ways)[0] == "grow"
    assert dict(ways[0].colour_percent)["pigment"] == pytest.approx(0, abs=1)
    left = of_kind(ways, "leave")
    assert dict(left.colour_percent)["pigment"] == pytest.approx(30, abs=0.5)
    assert left.gives_up == ("dose-over",)


def test_too_much_left_once_is_no_leave_for_more_of_it() -> None:
    """Fibre over its band was left; then more of it went in: that is a new trouble, told and mended as one."""
    run = weighed(worked(BLEND, "blend-50"), "fibre", 600_000, None)
    over = FlagRaised(code="dose-over", about="fibre", gravity="stop", said="over")
    run = told(run, over, way_taken(of_kind(listed(run), "leave"), "leave it"))
    assert run.gave_up("dose-over", "fibre")
    run = weighed(run, "fibre", 600_000, None)
    assert not run.gave_up("dose-over", "fibre")
    for way in listed(run):
        if way.kind in ("leave", "discard"):
            continue
        whole = sum(amount.mass_mg for amount in way.totals)
        inside = total(way, "fibre") <= Fraction(264, 10_000) * whole
        assert inside or way.hindrances or "dose-over" in way.gives_up


def test_too_much_fibre_is_grown_with_plain_slurry() -> None:
    run = worked(RAW, "mix-4", fibre_100="1.2")
    grow = listed(run)[0]
    assert grow.kind == "grow"
    assert "fibre" not in now(grow)
    assert {"cement", "sand", "water"} <= set(now(grow))
    whole = sum(amount.mass_mg for amount in grow.totals)
    assert total(grow, "fibre") / whole == pytest.approx(0.028, rel=0.002)


def test_too_much_polymer_is_grown() -> None:
    run = worked(RAW, "fibre-100", polymer_100="1.15")
    grow = listed(run)[0]
    assert grow.kind == "grow"
    assert "polymer" not in now(grow)
    assert total(grow, "polymer") * 0.5 / total(grow, "cement") == pytest.approx(0.055, rel=0.002)


def test_powder_ran_out_shrinks_every_later_target() -> None:
    run = worked(BLEND, "blend-100")
    run = weighed(run, "blend", 5_400_000, "blend-100")
    run = told(run, SupplyRanOut(material="blend"), StepDone(step="blend-100"))
    ways = listed(run)
    # Leaving it would end the same.
    assert kinds(ways) == ["shrink", "discard"]
    shrunk = ways[0]
    assert total(shrunk, "water") / total(shrunk, "blend") == pytest.approx(0.150, abs=0.001)
    assert total(shrunk, "fibre") / sum(item.mass_mg for item in shrunk.totals) == pytest.approx(
        0.024, rel=0.01
    )
    assert shrunk.gives_up == ("volume",)


def test_powder_ran_out_with_too_much_water_in_says_what_to_find() -> None:
    run = worked(BLEND, "blend-100", water_80="1.2")
    run = weighed(run, "blend", 3_000_000, "blend-100")
    run = told(run, SupplyRanOut(material="blend"), StepSkipped(step="blend-100", reason="ran out"))
    ways = listed(run)
    assert kinds(ways) == ["leave", "discard"]
    (missing,) = ways[-1].hindrances
    needed_mg = float(run.content["water"]) / 0.158 - 10_000_000
    assert isinstance(missing, StockLacks)
    assert float(missing.short_mg) == pytest.approx(needed_mg, abs=80_000)


def test_sand_for_cement_is_reckoned_anew() -> None:
    run = worked(RAW, "fibre-100")
    run = weighed(run, "sand", 600_000, None)
    ways = listed(run)
    grow = of_kind(ways, "grow")
    assert "sand" not in now(grow)
    assert total(grow, "cement") / total(grow, "sand") == pytest.approx(6 / 6.12, rel=0.03)


def test_something_unrecorded_once_entered_is_just_content() -> None:
    run = weighed(worked(RAW, "fibre-100"), "cement", 400_000, None)
    ways = listed(run)
    assert ways[0].kind == "grow"
    assert total(ways[0], "cement") >= 6_400_000


def test_a_clump_of_fibre_picked_out_is_made_up() -> None:
    run = removed(worked(RAW, "mix-4"), "fibre", 60_000)
    ways = listed(run)
    assert now(ways[0]) == {"fibre": 60_000}
    assert of_kind(ways, "leave").gives_up == ("dose-under",)


def test_a_splash_lost_grows_back_to_what_the_moulds_need() -> None:
    run = scooped(worked(RAW, "fibre-100", needed_l=7.3), 900_000)
    ways = listed(run)
    assert kinds(ways) == ["grow", "leave", "discard"]
    assert ways[0].volume_l >= 7.3 * 0.995
    assert of_kind(ways, "leave").short_l == pytest.approx(7.3 * 0.995 - of_kind(ways, "leave").volume_l)


def test_ice_left_out_of_the_count_is_water() -> None:
    """Ice that went in besides the water is water over the total; it cannot be poured back."""
    iced = replace(RAW, materials=(*RAW.materials, material("ice", Role.ICE)))
    run = work(begin(iced, RAW_KG), limits(begin(iced, RAW_KG)).divisions_mg, until="fibre-100")
    run = weighed(run, "ice", 250_000, None)
    ways = listed(run)
    assert kinds(ways)[0] == "grow"
    assert all(amount.material != "ice" for way in ways for amount in way.additions)
    assert (of_kind(ways, "leave").ratio or 0) > run.recipe.water.most


def test_with_ice_and_water_only_the_water_is_poured_back() -> None:
    iced = replace(BLEND, materials=(*BLEND.materials, material("ice", Role.ICE)))
    run = work(begin(iced, BLEND_KG), limits(begin(iced, BLEND_KG)).divisions_mg, until="blend-50")
    run = weighed(run, "ice", 900_000, None)
    poured = of_kind(listed(run), "pour-back")
    assert poured.pour_back_mg > 0
    assert total(poured, "ice") == 900_000


def test_water_and_polymer_poured_back_as_they_are_and_the_polymer_made_up() -> None:
    run = worked(RAW, "pigment-100", water_80="1.3")
    poured = of_kind(listed(run), "pour-back")
    assert poured.pour_back_mg == 0
    share = Fraction(poured.scoop_mg) / run.in_bucket_mg
    assert now(poured)["polymer"] == pytest.approx(float(run.content["polymer"] * share), abs=1_000)
    assert poured.wasted_mg == poured.scoop_mg


def test_a_stiffening_mix_is_only_discarded_or_left() -> None:
    run = worked(RAW, "fibre-100", water_80="1.45")
    ways = listed(run, stiffening=True)
    assert kinds(ways) == ["discard", "leave"]
    assert "stiffening" in ways[1].gives_up
    assert not any(way.additions for way in ways)


def test_past_the_working_time_is_said() -> None:
    run = worked(RAW, "fibre-100", water_80="1.45")
    grow = of_kind(listed(run, working_left_s=120), "grow")
    assert "time" in grow.gives_up
    # The fibre is still to come besides.
    assert grow.takes_s == 45 * (len(grow.additions) + 1) + 60
    assert grow.working_left_s == 120 - grow.takes_s
    in_time = of_kind(listed(run, working_left_s=1200), "grow")
    assert "time" not in in_time.gives_up


def test_a_way_whose_additions_are_all_still_to_come_takes_its_time_too() -> None:
    run = worked(BLEND, "blend-50", water_80="1.6")
    ways = listed(run, working_left_s=60)
    grow = next(way for way in ways if not way.additions and way.kind not in ("leave", "discard"))
    assert grow.takes_s >= 45 * 2 + 60
    assert "time" in grow.gives_up
    assert of_kind(ways, "discard").takes_s == 0


def test_blend_over_only_makes_the_batch_larger() -> None:
    run = worked(BLEND, "release", blend_100="1.2")
    ways = listed(run)
    # Leaving it would end the same.
    assert kinds(ways) == ["hold-less", "discard"]
    assert ways[0].gives_up == ()


def test_nothing_wrong_leaves_nothing_to_choose() -> None:
    assert kinds(listed(worked(RAW, "fibre-100"))) == ["leave", "discard"]


def test_water_the_hand_found_enough_is_not_added_when_growing() -> None:
    """Judged right with less than the target in: a batch that grows keeps that ratio."""
    run = worked(RAW, "release")
    run = told(run, StepDone(step="release"))
    run = told(run, ConsistencyJudged(step=None, verdict="right"))
    before = float(run.content["water"])
    run = work(run, limits(run).divisions_mg, until="mix-4", factors={"fibre-100": Fraction(12, 10)})
    grow = of_kind(listed(run), "grow")
    assert before == float(run.content["water"])
    assert float(grow.ratio or 0) < 0.315


def test_colour_can_be_matched_where_nearest_compromises() -> None:
    """Pigment over and no more plasticiser: growing mends the colour and thins the plasticiser."""
    banded = replace(
        RAW.material("pigment"),
        dose=Dose(fraction=per_mille(30), of=RAW.material("pigment").dose.of, most=per_mille(40)),  # type: ignore[union-attr]
    )
    thin = replace(
        RAW.material("plasticiser"),
        dose=Dose(
            fraction=per_mille(6),
            of=RAW.material("plasticiser").dose.of,  # type: ignore[union-attr]
            least=per_mille("4.5"),
            most=per_mille("6.5"),
        ),
        cap=Cap(fraction=per_mille(12), of=RAW.material("plasticiser").dose.of, source="the label"),  # type: ignore[union-attr]
    )
    swap = {"pigment": banded, "plasticiser": thin}
    recipe = replace(RAW, materials=tuple(swap.get(item.key, item) for item in RAW.materials))
    run = begin(recipe, RAW_KG)
    run = work(run, limits(run).divisions_mg, until="fibre-100", factors={"pigment-100": Fraction(12, 10)})
    run = told(run, SupplyRanOut(material="plasticiser"))
    run = weighed(run, "water", 180_000, None)
    ways = listed(run)
    same = next(way for way in ways if way.goal == "same-colour")
    assert dict(same.colour_percent)["pigment"] == pytest.approx(0, abs=0.5)
    other = next(way for way in ways if way.goal == "nearest")
    assert dict(other.colour_percent)["pigment"] > 1


def test_a_material_added_twice_in_shares_waits_for_its_next_step() -> None:
    run = worked(RAW, "cement-100", water_80="1.45")
    grow = of_kind(listed(run), "grow")
    assert "cement" not in now(grow)
    assert total(grow, "cement") > 6_000_000


def test_unknown_bucket_bounds_growth_all_the_same() -> None:
    run = worked(BLEND, "mix-3", bucket_l=0.0, fibre_100="8")
    ways = listed(run)
    assert all(way.volume_l < 40 for way in ways)
