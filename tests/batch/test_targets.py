"""Targets follow the readings: later shares mend earlier ones, water is the balance, doses follow the powders."""

from dataclasses import replace
from fractions import Fraction

import pytest

from mixstation.batch.advice import stand, take_out_mg
from mixstation.batch.commands import BookExtra, BookRemoved, DoneStep, EnoughIn, RunOut, SkipStep
from mixstation.batch.events import Amount, DoseAim, WayTaken
from mixstation.batch.targets import (
    aim_of,
    dose_band,
    dose_now,
    project,
    still_to_come,
    water_ratio,
)
from mixstation.recipe.model import Basis, Cap, Role, SplitStep
from mixstation.recipe.proportions import basis_mass, free_water, litres_per_kg, volume_l
from tests.batch.making import Bench, blend, clouded, raw, values_of, way, weight
from tests.batch.recipes import (
    BLEND,
    BLEND_POWDERS,
    RAW,
    WATER,
    add,
    dose,
    f,
    g,
    kg,
    material,
    recipe,
    rule,
    with_material,
)

TWO_SHARES = recipe(
    "two shares of water",
    rule(Basis.POWDER, "0.14", "0.13", "0.15", "0.16"),
    (WATER, material("blend", Role.BLEND, parts=Fraction(1))),
    (add("water-1", "water", "0.5", "0.5"), add("blend", "blend"), add("water-2", "water", "0.5")),
)


def two_shares(division_mg: int = 1000) -> Bench:
    return Bench.begin(TWO_SHARES, {"blend": kg(10)}, division_mg)


def test_first_share_40_percent_over_is_mended_by_the_later_one() -> None:
    """0.14 × 10 kg = 1.400 kg; half is 0.700, 40 % over is 0.980; the rest is 0.420 kg."""
    bench = two_shares()
    assert bench.dosing.target_mg == kg("0.7")
    bench.pours(kg("0.98"))
    assert bench.codes == set()
    bench.goes_to("water-2")
    assert bench.dosing.target_mg == kg("0.42")
    bench.goes_through()
    assert bench.run.content["water"] == kg("1.4")
    assert bench.projection.ratio == f("0.14")
    assert bench.codes == set()


def test_first_share_over_the_whole_total_asks_for_no_more_and_says_where_it_ends() -> None:
    """80 % of 0.132 × 18 kg = 1.901 kg; 40 % over is 2.661 kg: 2.661/18 = 0.14783, over the ceiling 0.146."""
    bench = blend()
    assert bench.dosing.target_mg == kg("1.901")
    bench.pours(kg("2.661"), confirmed=True)
    flag = bench.flags["water-over-ceiling"]
    values = values_of(flag)
    assert (flag.gravity, flag.about) == ("stop", "water")
    assert values["ratio"] == Fraction(2661, 18000)
    assert (values["most_ratio"], values["ceiling_ratio"]) == (f("0.138"), f("0.146"))
    assert {step.key: mass for step, mass in bench.standing.coming}["release"] == 0
    bench.goes_to("release")
    bench.goes_on()
    assert bench.step == "scrape-3"
    assert bench.run.content["water"] == kg("2.661")


def test_after_two_splits_in_a_row_a_quarter_of_the_rest_goes_in() -> None:
    """Half out and half of that out: of the 0.700 kg of water that the whole would still get, 0.175 kg."""
    first, second, last = TWO_SHARES.steps
    face, back = (SplitStep(key=key, layer=key, fraction=Fraction(1, 2)) for key in ("face", "back"))
    bench = Bench.begin(replace(TWO_SHARES, steps=(first, second, face, back, last)), {"blend": kg(10)})
    coming = {step.key: mass for step, mass in bench.standing.coming}
    assert coming == {"water-1": g(700), "blend": kg(10), "face": 0, "back": 0, "water-2": g(175)}
    bench.goes_to("face")
    bench.pours()
    bench.does(DoneStep())
    bench.pours()
    bench.does(DoneStep())
    assert bench.run.in_bucket_mg == kg("2.675")
    assert bench.dosing.target_mg == g(175)


def test_a_take_out_larger_than_the_mix_leaves_nothing_and_owes_nothing() -> None:
    """A way may have been worked out for more than is in by now."""
    bench = two_shares().goes_to("water-2")
    bench.tell(way(bench, scoop_mg=kg(20)))
    assert all(mass >= 0 for mass in bench.projection.finals.values())
    assert bench.projection.finals["blend"] == 0
    # All of a mix never comes out: a gram is left of 10.700 kg.
    assert take_out_mg(bench.standing) == kg("10.699")


def test_a_share_short_is_asked_for_again_with_the_next() -> None:
    """0.600 of 0.700 kg and on with it: the second share is 1.400 − 0.600 = 0.800 kg."""
    bench = two_shares()
    bench.pours(kg("0.6"))
    assert (bench.step, bench.dosing.target_mg) == ("water-1", kg("0.1"))
    bench.does(EnoughIn())
    bench.goes_to("water-2")
    assert bench.dosing.target_mg == kg("0.8")


def test_a_share_left_out_comes_with_the_next() -> None:
    bench = two_shares()
    bench.does(SkipStep(reason="can was empty"))
    bench.goes_to("water-2")
    assert bench.dosing.target_mg == kg("1.4")


@pytest.mark.parametrize("poured", ["7.4", "8.7"])
def test_doses_and_water_follow_the_powder_that_is_in(poured: str) -> None:
    """Cement ends under or over: fibre, pigments and water are reckoned on what is in."""
    bench = clouded()
    bench.goes_to("cement")
    bench.pours(kg(poured), confirmed=True)
    if bench.step == "cement":
        bench.does(EnoughIn())
    bench.goes_through()
    content = bench.run.content
    cement, sand = kg(poured), kg(4)
    assert abs(content["water"] - f("0.34") * cement) <= g(1)
    assert abs(content["slate"] - f("0.016") * cement) <= g(1)
    assert abs(content["buff"] - f("0.009") * cement) <= g(1)
    slurry = f("0.34") * cement + cement + sand + content["slate"] + content["buff"]
    assert abs(content["fibre"] - f("0.024") / (1 - f("0.024")) * slurry) <= g(4)


def test_an_early_dose_over_lets_the_water_make_room() -> None:
    """Emulsion 100 g over (6.1 % of cement, inside its own band) carries 52 g of water more: 52 g less is poured."""
    planned = raw().goes_to("release").projection.totals["water"]
    bench = raw()
    bench.goes_to("emulsion")
    asked = bench.dosing.target_mg
    bench.pours(asked + g(100), confirmed=True)
    assert bench.codes == set()
    assert abs(bench.projection.totals["water"] - (planned - g(52))) <= g(1)


def test_an_extra_addition_counts_at_once() -> None:
    bench = two_shares()
    bench.pours()
    bench.does(BookExtra(material="water", weight=weight(g(150)), reason="rinsed the bucket"))
    bench.goes_to("water-2")
    assert bench.dosing.target_mg == kg("0.55")


def test_water_poured_back_is_asked_for_again() -> None:
    bench = two_shares()
    bench.pours(kg("0.9"))
    bench.does(BookRemoved(material="water", weight=weight(g(200)), reason="poured back"))
    bench.goes_to("water-2")
    assert bench.dosing.target_mg == kg("0.7")


def test_what_ran_out_stays_as_it_is_and_the_rest_follows() -> None:
    """7 of 10 kg blend in, no more: water ends at 0.14 × 7 = 0.980 kg."""
    bench = two_shares()
    bench.pours()
    bench.pours(kg(7))
    bench.does(RunOut(material="blend"))
    assert values_of(bench.flags["ran-out"])["short_mg"] == kg(3)
    assert bench.dosing.target_mg == kg("0.28")
    bench.goes_through()
    assert bench.projection.ratio == f("0.14")


def test_projection_speaks_of_the_end_not_of_now() -> None:
    """With all the water and a third of the powder in, the ratio now is high and the ratio at the end is right."""
    bench = two_shares()
    bench.pours()
    bench.pours(kg(4))
    assert bench.projection.ratio == f("0.14")
    assert bench.projection.ratio_now == Fraction(700, 4000)


def test_no_basis_no_ratio() -> None:
    bench = two_shares()
    bench.pours()
    bench.does(RunOut(material="blend"))
    assert bench.projection.ratio is None
    assert bench.projection.expanded == 0


def test_uncertainty_is_that_of_rounded_nets() -> None:
    """Each net has d/√6 (JCGM 100:2008, F.2.2.1): two of water and one of blend, sensitivities 1/B and W/B²."""
    bench = two_shares(10_000).goes_through()
    d, basis, water = 10_000, 10_000_000, 1_400_000
    square = (2 * (1 / basis) ** 2 + (water / basis**2) ** 2) * d**2 / 6
    assert bench.projection.expanded == pytest.approx(2 * square**0.5, rel=1e-12)


def test_uncertainty_counts_what_is_still_to_be_weighed() -> None:
    bench = two_shares()
    fresh = project(bench.run, 1000).expanded
    assert fresh > 0
    assert project(bench.run, 5000).expanded == pytest.approx(5 * fresh)


def test_fibre_is_of_the_whole_with_every_fibre_in_it() -> None:
    """Two fibres of 1 % and 2 %, the first over at 0.300 kg: slurry 11.4 kg, (11.4 + 0.3)·0.02/0.98 of the second."""
    two = recipe(
        "two fibres",
        rule(Basis.POWDER, "0.14", "0.13", "0.15", "0.16"),
        (
            WATER,
            material("blend", Role.BLEND, parts=Fraction(1)),
            material("short", Role.FIBRE, dose=dose("0.01", Basis.TOTAL)),
            material("long", Role.FIBRE, dose=dose("0.02", Basis.TOTAL)),
        ),
        (add("water", "water"), add("blend", "blend"), add("short", "short"), add("long", "long")),
    )
    bench = Bench.begin(two, {"blend": kg(10)})
    whole = f("11.4") / f("0.97") * 1_000_000
    assert bench.projection.totals["short"] == f("0.01") * whole
    assert bench.projection.totals["long"] == f("0.02") * whole
    bench.goes_to("short")
    bench.pours(g(300), confirmed=True)
    assert bench.dosing.exact_mg == f("11.7") * f("0.02") / f("0.98") * 1_000_000


def test_a_portion_split_off_shrinks_what_is_aimed_at_and_later_doses_follow_the_rest() -> None:
    """22 % out: cement 8 kg to 6.24 kg; a pigment folded in afterwards is of the 6.24 kg."""
    late = replace(
        RAW, steps=(*tuple(step for step in RAW.steps if step.key != "ochre"), add("ochre", "ochre"))
    )
    bench = Bench.begin(late, {"cement": kg(8), "metakaolin": kg("0.8"), "sand": kg("7.344")})
    bench.goes_to("face")
    whole = bench.run.in_bucket_mg
    taken = bench.pours()
    assert taken == len(bench.run.entries) - 1
    share = Fraction(round(whole * f("0.22") / 1000) * 1000) / whole
    assert bench.run.kept == 1 - share
    assert bench.run.content["cement"] == kg(8) * (1 - share)
    assert bench.codes == set()
    bench.goes_to("ochre")
    assert bench.dosing.exact_mg == f("0.025") * kg(8) * (1 - share)
    bench.goes_through()
    assert bench.codes == set()


def test_fibre_after_the_split_is_of_the_rest_alone() -> None:
    bench = raw().goes_to("fibre")
    rest = bench.run.in_bucket_mg
    assert bench.dosing.exact_mg == f("0.03") / f("0.97") * rest
    coming = {step.key: mass for step, mass in bench.standing.coming}
    assert coming["fibre"] == bench.dosing.exact_mg


def test_before_the_split_the_list_shows_the_fibre_as_it_will_be_weighed() -> None:
    bench = raw().goes_to("face")
    coming = {step.key: mass for step, mass in bench.standing.coming}
    assert coming["fibre"] == bench.projection.totals["fibre"] * f("0.78")


def test_after_a_way_the_aim_is_for_the_bucket_without_what_it_takes_out() -> None:
    """Blend 10 kg and water 2.0 kg: scoop 3 kg of the 12, 7.5 kg blend are left and topped up to 10; no flag yet stands
    against what is still in the bucket only because nobody has scooped."""
    bench = two_shares()
    bench.pours(kg(2), confirmed=True)
    bench.pours()
    way = WayTaken(
        way="scoop-and-grow",
        aim=aim_of(TWO_SHARES, {"blend": kg("10.714")}),
        pour_back_mg=0,
        scoop_mg=kg(3),
        make_up=("blend",),
        mix_s=60,
        gives_up=(),
        said="scoop 3 kg, add blend",
    )
    bench.tell(way)
    assert "powder-over" not in bench.codes
    assert bench.projection.totals["blend"] == kg("10.714")
    coming = {step.key: mass for step, mass in bench.standing.coming}
    assert (coming["way7.1"], coming["way7.2"]) == (kg(3), kg("10.714") - kg("7.5"))
    bench.goes_through()
    assert bench.run.content["blend"] == kg("10.714")
    assert bench.projection.ratio == Fraction(1500, 10714)
    assert bench.codes == set()


def test_masses_of_a_basis_and_of_free_water() -> None:
    """Sand is counted dry on powder; damp sand brings (MC − ABS) of its dry mass, and drinks where MC < ABS.

    Method of ACI 211.1.
    """
    masses = {
        key: Fraction(0)
        for key in ("water", "cement", "metakaolin", "emulsion", "plasticiser", "ochre", "fibre")
    }
    masses |= {"sand": Fraction(102), "cement": Fraction(100), "metakaolin": Fraction(10)}
    assert basis_mass(RAW, masses, Basis.CEMENT) == 100
    assert basis_mass(RAW, masses, Basis.BINDER) == 110
    assert basis_mass(RAW, masses, Basis.POWDER) == 210
    assert basis_mass(RAW, masses, Basis.TOTAL) == 212
    assert free_water(RAW, masses) == 100 * (f("0.02") - f("0.006"))
    assert water_ratio(RAW, masses) == f("1.4") / 110
    assert dose_now(RAW, RAW.material("emulsion"), masses | {"emulsion": Fraction(10)}) == f("4.8") / 100
    assert dose_now(RAW, RAW.material("cement"), masses) is None


def test_band_of_a_dose_is_its_own_else_the_tolerance_and_never_past_a_cap() -> None:
    assert dose_band(RAW.material("emulsion")) == (f("0.05"), f("0.065"))
    assert dose_band(RAW.material("ochre")) == (f("0.025") * f("0.97"), f("0.025") * f("1.03"))
    capped = material(
        "black",
        Role.PIGMENT,
        dose=dose("0.05", Basis.CEMENT, "0.04", "0.07"),
        cap=Cap(fraction=f("0.06"), of=Basis.CEMENT, source="label"),
    )
    assert dose_band(capped) == (f("0.04"), f("0.06"))
    with pytest.raises(ValueError, match="cement"):
        dose_band(RAW.material("cement"))


def test_the_recipes_own_aim() -> None:
    aim = aim_of(BLEND, BLEND_POWDERS)
    assert aim.powders == (Amount(material="blend", mass_mg=kg(18)),)
    assert aim.doses == (DoseAim(material="fibre", fraction=f("0.026")),)
    assert aim.water_ratio == f("0.132")


def test_volume_by_absolute_volume_with_air() -> None:
    """2 kg water and 10 kg of 2880 kg/m³: (2/998.21 + 10/2880)·1000/0.95 L. Method of ACI 211.1."""
    litres = volume_l(TWO_SHARES, {"water": Fraction(kg(2)), "blend": Fraction(kg(10))})
    assert litres == pytest.approx((2 / 998.21 + 10 / 2880) * 1000 / 0.95)


def test_every_step_to_come_is_listed_with_its_mass() -> None:
    bench = two_shares()
    coming = still_to_come(bench.run, project(bench.run))
    assert [(step.key, mass) for step, mass in coming] == [
        ("water-1", kg("0.7")),
        ("blend", kg(10)),
        ("water-2", kg("0.7")),
    ]
    bench.pours()
    bench.pours(kg(4))
    bench.does(RunOut(material="blend"))
    assert [step.key for step, _ in bench.standing.coming] == ["water-2"]


def test_a_dose_on_no_target_asks_for_nothing() -> None:
    """An aim without a dose for a material steers it to none, and it is not missed."""
    bench = clouded()
    aim = replace(bench.run.aim, doses=tuple(d for d in bench.run.aim.doses if d.material != "buff"))
    run = replace(bench.run, aim=aim)
    standing = stand(run, 1000)
    assert standing.projection.totals["buff"] == 0


def test_volume_of_damp_sand_by_hand() -> None:
    """1 kg dry at 2.65 kg/L full of 0.7 %, with 3 % in all: 1.007/2.65 L of grains and 0.023 L around them."""
    of = with_material(
        RAW, "sand", moisture_fraction=f("0.03"), absorption_fraction=f("0.007"), density_kg_m3=2650.0
    )
    water = of.material("water").density_kg_m3 / 1000
    assert 1.03 * litres_per_kg(of, "sand") == pytest.approx(1.007 / 2.65 + 0.023 / water, rel=1e-12)
