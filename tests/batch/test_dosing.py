"""What a step asks to weigh: whole divisions, inside what is right at the end, and nothing where enough is in."""

from dataclasses import replace
from fractions import Fraction

import pytest

from mixstation.batch.commands import Book, BookExtra, EnoughIn, Judge, SkipStep, StartTimer
from mixstation.batch.decide_weighing import FAR_OFF
from mixstation.batch.dosing import dosing
from mixstation.batch.events import DoseAim, StepDone
from mixstation.batch.refusal import AskedOnce
from mixstation.batch.targets import project
from mixstation.recipe.model import AddStep, Basis, Cap, Dose, Recipe, ReleaseStep, Role, Step, Tolerance
from tests.batch.making import Bench, blend, clouded, raw, way, weight
from tests.batch.recipes import (
    BLEND,
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
    with_step,
)


def one_dose(pigment: Dose, cap: Cap | None = None, tolerance: str = "0.03") -> Recipe:
    """Cement first, then one pigment."""
    each = f(tolerance)
    return recipe(
        "one dose",
        rule(Basis.CEMENT, "0.34", "0.3", "0.38", "0.4"),
        (
            WATER,
            material("cement", Role.CEMENT, parts=Fraction(1)),
            material(
                "black", Role.PIGMENT, dose=pigment, cap=cap, tolerance=Tolerance(under=each, over=each)
            ),
        ),
        (add("water", "water"), add("cement", "cement"), add("black", "black")),
    )


def at_pigment(
    pigment: Dose, division_mg: int = 1000, cap: Cap | None = None, tolerance: str = "0.03"
) -> Bench:
    of = one_dose(pigment, cap, tolerance)
    return Bench.begin(of, {"cement": kg(10)}, division_mg).goes_to("black")


def test_last_share_is_right_within_its_tolerance() -> None:
    """3 % of 10 kg is 300 g; ± 3 % of that is 9 g."""
    asked = at_pigment(dose("0.03", Basis.CEMENT)).dosing
    assert (asked.exact_mg, asked.target_mg, asked.low_mg, asked.high_mg) == (g(300), g(300), g(291), g(309))


def test_a_band_narrower_than_the_tolerance_is_kept() -> None:
    """2.95 to 3.04 % of 10 kg, though 3 % of 300 g would allow 291 to 309 g."""
    narrow = Dose(fraction=f("0.03"), of=Basis.CEMENT, least=f("0.0295"), most=f("0.0304"))
    asked = at_pigment(narrow).dosing
    assert (asked.target_mg, asked.low_mg, asked.high_mg) == (g(300), g(295), g(304))


@pytest.mark.parametrize(("aimed", "low", "high"), [("0.02", "200", "206"), ("0.04", "388", "400")])
def test_an_aim_outside_the_band_is_still_what_is_asked_for(aimed: str, low: str, high: str) -> None:
    """Of a band of 2.5 to 3.5 %, a way out aims at 2 or 4 %: that is right, and nothing nearer the band is owed."""
    band = Dose(fraction=f("0.03"), of=Basis.CEMENT, least=f("0.025"), most=f("0.035"))
    bench = at_pigment(band)
    aim = replace(bench.run.aim, doses=(DoseAim(material="black", fraction=f(aimed)),))
    bench.tell(way(bench, aim=aim))
    asked = bench.dosing
    assert (asked.target_mg, asked.low_mg, asked.high_mg) == (f(aimed) * kg(10), g(low), g(high))


def test_tolerance_is_of_the_total_not_of_the_last_share() -> None:
    """9.0 of 18 kg blend in: the second share of 9.0 may be off by 1 % of 18 kg."""
    bench = blend().goes_to("blend-2")
    assert (bench.dosing.low_mg, bench.dosing.high_mg) == (kg("8.82"), kg("9.18"))


def test_an_early_share_may_miss_by_three_percent_of_itself() -> None:
    bench = blend().goes_to("blend-1")
    assert (bench.dosing.low_mg, bench.dosing.high_mg) == (kg("8.73"), kg("9.27"))


@pytest.mark.parametrize(("division", "target"), [(1, 38), (5, 40), (10, 40), (20, 40), (50, 50)])
def test_targets_are_whole_divisions(division: int, target: int) -> None:
    """0.38 % of 10 kg is 38 g."""
    bench = at_pigment(dose("0.0038", Basis.CEMENT), g(division))
    assert bench.dosing.target_mg == g(target)


def test_a_tolerance_finer_than_the_division_leaves_only_the_target() -> None:
    """38 g ± 3 % on 5 g: 40 g is the nearest; 35 and 45 are out."""
    bench = at_pigment(dose("0.0038", Basis.CEMENT), g(5))
    assert (bench.dosing.target_mg, bench.dosing.high_mg) == (g(40), g(40))
    assert bench.dosing.low_mg == pytest.approx(g("36.86"))
    assert "dose-small-for-scale" in bench.codes
    bench.pours()
    assert bench.codes == set()


def test_never_short_of_what_may_not_be_short() -> None:
    """Cement −0 % +4 %: 6.0004 kg on 1 g is rounded up, not to the nearest."""
    bench = Bench.begin(clouded().run.recipe, {"cement": kg("6.0004"), "sand": kg(4)}).goes_to("cement")
    assert bench.dosing.target_mg == kg("6.001")
    bench.goes_through()
    assert bench.codes == set()


@pytest.mark.parametrize(("over", "target"), [("0.03", 39), ("0.01", 38)])
def test_rounded_up_only_where_that_is_not_too_much(over: str, target: int) -> None:
    """38.4 g that may not be short: 39 g is inside + 3 %, 39.55 g; with + 1 %, 38.78 g, the nearest stands."""
    tight = with_material(
        one_dose(dose("0.00384", Basis.CEMENT)), "black", tolerance=Tolerance(under=Fraction(0), over=f(over))
    )
    bench = Bench.begin(tight, {"cement": kg(10)}).goes_to("black")
    assert (bench.dosing.exact_mg, bench.dosing.target_mg) == (g("38.4"), g(target))


def test_a_rest_just_inside_the_tolerance_is_asked_for_from_one_division_on() -> None:
    """291 of 300 g in, 9 g may lack: 9 g are asked for and the first gram will do."""
    bench = at_pigment(dose("0.03", Basis.CEMENT))
    bench.does(BookExtra(material="black", weight=weight(g(291)), reason="old tin"))
    assert (bench.dosing.target_mg, bench.dosing.low_mg) == (g(9), g(1))


def test_never_past_a_cap_that_is_the_target() -> None:
    """10 % of 10.0065 kg is 1000.65 g, the cap: 1000 g, not 1001 g."""
    capped = one_dose(
        dose("0.1", Basis.CEMENT), Cap(fraction=f("0.1"), of=Basis.CEMENT, source="ASTM C979 §1.4")
    )
    bench = Bench.begin(capped, {"cement": kg("10.0065")}, 500).goes_to("black")
    bench.division_mg = 1000
    assert (bench.dosing.target_mg, bench.dosing.high_mg) == (g(1000), g("1000.65"))
    bench.pours()
    assert bench.codes == set()


def test_a_recipes_own_narrow_band_narrows_what_is_right() -> None:
    """Band 2.98 to 3.01 % of 10 kg inside a tolerance of 3 %: 298 to 301 g."""
    bench = at_pigment(dose("0.03", Basis.CEMENT, "0.0298", "0.0301"))
    assert (bench.dosing.low_mg, bench.dosing.high_mg) == (g(298), g(301))


def test_a_narrow_band_of_the_total_counts_the_fibre_itself() -> None:
    """2.4 to 2.7 % of the whole about 2.6 %: m = p/(1 − p) × the rest."""
    narrow = with_material(
        BLEND,
        "fibre",
        dose=dose("0.026", Basis.TOTAL, "0.0255", "0.0265"),
        tolerance=Tolerance(under=f("0.1"), over=f("0.1")),
    )
    bench = Bench.begin(narrow, {"blend": kg(18)}, 1).goes_to("fibre")
    slurry = bench.run.in_bucket_mg
    assert bench.dosing.low_mg == pytest.approx(float(slurry * f("0.0255") / f("0.9745")), abs=1)
    assert bench.dosing.high_mg == pytest.approx(float(slurry * f("0.0265") / f("0.9735")), abs=1)


def test_enough_in_asks_for_nothing_and_is_gone_on_from() -> None:
    """First share of the blend over the whole: the second asks for nothing, and `EnoughIn` ends it."""
    bench = blend().goes_to("blend-1")
    bench.pours(kg("18.1"), confirmed=True)
    bench.goes_to("blend-2")
    asked = bench.dosing
    assert (asked.exact_mg, asked.target_mg, asked.low_mg) == (0, 0, 0)
    assert bench.standing.phase == "pour"
    assert bench.codes == set()
    assert bench.does(EnoughIn()) == (StepDone(step="blend-2"),)
    assert bench.step == "mix-2"


def test_where_enough_is_in_a_typed_weight_is_asked_about_once() -> None:
    bench = blend().goes_to("blend-1")
    bench.pours(kg("18.1"), confirmed=True)
    bench.goes_to("blend-2")
    refused = bench.refuses(Book(weight=weight(g(50), "typed")))
    assert (refused.code, isinstance(refused, AskedOnce)) == ("far-over", True)
    bench.does(Book(weight=weight(g(50), "typed"), confirmed=True))
    assert bench.step == "mix-2"
    assert bench.run.content["blend"] == kg("18.15")


def test_a_rest_the_scale_cannot_show_is_let_go_where_it_is_nothing() -> None:
    """2 g short of 18 kg on a 5 g scale, inside the tolerance."""
    bench = blend(g(5)).goes_to("blend-2")
    bench.does(BookExtra(material="blend", weight=weight(kg("8.998")), reason="second bag"))
    assert (bench.dosing.exact_mg, bench.dosing.target_mg) == (0, 0)


def test_a_dose_the_scale_cannot_show_is_not_taken_for_enough() -> None:
    """2 g on a 5 g scale with nothing in: a finer scale is wanted, its weight is taken as it is, and ends the step."""
    bench = at_pigment(dose("0.0002", Basis.CEMENT), g(5))
    assert (bench.dosing.exact_mg, bench.dosing.target_mg) == (g(2), 0)
    assert "dose-below-division" in bench.codes
    assert bench.refuses(EnoughIn()).code == "nothing-in"
    bench.does(Book(weight=weight(g(2), "typed", division_mg=100)))
    assert bench.step == ""
    assert bench.codes == set()


def test_half_of_a_small_dose_is_not_taken_for_enough() -> None:
    """4 g in two shares on a 5 g scale: 2 g are in, 2 g are still wanted."""
    halves = one_dose(dose("0.0004", Basis.CEMENT))
    halves = recipe(
        "halves",
        halves.water,
        halves.materials,
        (
            add("water", "water"),
            add("cement", "cement"),
            add("black-1", "black", "0.5", "0.5"),
            add("black-2", "black", "0.5"),
        ),
    )
    bench = Bench.begin(halves, {"cement": kg(10)}, g(5)).goes_to("black-1")
    assert (bench.dosing.exact_mg, bench.dosing.target_mg) == (g(2), 0)
    bench.does(Book(weight=weight(g(2), "typed", division_mg=100)))
    assert bench.step == "black-2"
    assert (bench.dosing.exact_mg, bench.dosing.target_mg) == (g(2), 0)
    assert "dose-below-division" in bench.codes


def test_a_dose_weighed_on_a_finer_scale_ends_its_step() -> None:
    """3.0 g asked for on a 5 g scale is shown as 5; 3.0 g typed from a finer one is right."""
    bench = at_pigment(dose("0.0003", Basis.CEMENT), g(5))
    assert bench.dosing.target_mg == g(5)
    bench.does(Book(weight=weight(g(3), "typed", division_mg=100)))
    assert bench.step == ""


def test_a_part_of_a_dose_leaves_the_step_at_hand() -> None:
    bench = at_pigment(dose("0.03", Basis.CEMENT))
    bench.does(Book(weight=weight(g(180))))
    assert (bench.step, bench.dosing.target_mg) == ("black", g(120))
    bench.does(Book(weight=weight(g(112))))
    assert bench.step == ""


def test_no_step_that_weighs_no_dose() -> None:
    bench = blend().goes_to("mix-1")
    assert bench.standing.dosing is None
    step = bench.run.step
    assert step is not None
    assert not isinstance(step, AddStep)
    assert dosing(bench.run, project(bench.run), step, 1000) is None


def test_release_goes_in_twentieths_and_ends_exactly_at_the_total() -> None:
    """20 % held back of 2.376 kg: four times 5 %, and the total is met to the gram."""
    bench = blend().goes_to("release")
    bench.does(Judge(verdict="too-stiff"))
    assert bench.dosing.target_mg == g(119)
    before = bench.run.content["water"]
    poured = bench.releases()
    assert poured == 4
    assert bench.run.content["water"] == kg("2.376")
    assert before == kg("1.901")


def test_release_stops_when_the_mix_moves_right() -> None:
    bench = blend().goes_to("release")
    bench.releases(times=3)
    bench.does(StartTimer())
    bench.hands.go(30)
    bench.does(Judge(verdict="right"))
    assert bench.step == "scrape-3"
    assert bench.run.content["water"] == kg("1.901") + 3 * g(119)
    assert bench.codes == set()


@pytest.mark.parametrize("poured_g", [100, 60, 119, 130])
def test_release_reckons_each_increment_from_what_is_in(poured_g: int) -> None:
    """Whatever goes in at a time, it ends at the total and in a bounded number of goes."""
    bench = blend().goes_to("release")
    for _ in range(12):
        if bench.step != "release":
            break
        if bench.standing.phase == "pour":
            left = kg("2.376") - bench.run.content["water"]
            bench.pours(min(g(poured_g), left) if bench.dosing.exact_mg else None, confirmed=True)
        bench.releases(times=0)
        if bench.standing.phase == "release-start-mixing":
            bench.releases(times=1)
    bench.goes_through()
    assert abs(bench.run.content["water"] - kg("2.376")) <= f("0.015") * kg("2.376")
    assert bench.codes == set()


def test_release_merges_a_rest_within_the_tolerance_into_the_last() -> None:
    """21 % held back: 5, 5, 5 and 6 %, since 1 % alone is within the water's own tolerance of 1.5 %."""
    of = with_step(BLEND, "water-1", share=f("0.79"), cumulative=f("0.79"))
    bench = Bench.begin(of, {"blend": kg(18)}).goes_to("release")
    assert bench.releases() == 4
    assert bench.run.content["water"] == kg("2.376")


def test_release_asks_at_least_for_a_division() -> None:
    """5 % of 0.264 kg is 13 g; on a 50 g scale 50 g are asked for."""
    bench = Bench.begin(BLEND, {"blend": kg(2)}, g(50)).goes_to("release")
    bench.does(Judge(verdict="too-stiff"))
    assert bench.dosing.target_mg == g(50)


def test_release_with_all_in_ends_with_a_word() -> None:
    """The step before found it too stiff and all the water is in: nothing is asked for but going on."""
    bench = blend()
    bench.pours(kg("2.376"), confirmed=True)
    bench.goes_to("judge")
    bench.does(Judge(verdict="too-stiff"))
    assert (bench.step, bench.standing.phase, bench.dosing.exact_mg) == ("release", "pour", 0)
    bench.does(EnoughIn())
    assert bench.step == "scrape-3"


def test_powder_left_out_leaves_its_doses_without_a_basis() -> None:
    """No cement, no pigment asked for: nothing is divided by nothing."""
    bench = Bench.begin(one_dose(dose("0.03", Basis.CEMENT)), {"cement": kg(10)}).goes_to("cement")
    bench.does(SkipStep(reason="none left"))
    assert (bench.dosing.exact_mg, bench.projection.ratio) == (0, None)
    assert bench.codes == {"dose-missing"}
    bench.does(EnoughIn())


def test_far_off_is_half() -> None:
    """The bound that other tests lean on."""
    assert Fraction(1, 2) == FAR_OFF


def test_every_dose_of_a_whole_batch_on_a_coarse_scale_stays_unflagged() -> None:
    """10 g on the planter wall: every dose is the nearest that can be shown."""
    bench = raw(g(10)).goes_through()
    assert bench.codes == set()
    assert {code for code, _ in bench.seen} == {"dose-small-for-scale"}


def near_the_edge(*steps: Step) -> Bench:
    """Steered to 0.301 of 10 kg cement, the band from 0.300: 10 g of water less, and it ends outside."""
    of = recipe(
        "dry",
        rule(Basis.CEMENT, "0.301", "0.3", "0.36", "0.38"),
        (WATER, material("cement", Role.CEMENT, parts=Fraction(1))),
        (add("cement", "cement"), *steps),
    )
    return Bench.begin(of, {"cement": kg(10)}).goes_to(steps[0].key)


def test_right_water_stays_in_the_band_of_the_ratio_where_its_tolerance_would_leave_it() -> None:
    asked = near_the_edge(add("water", "water")).dosing
    assert (asked.target_mg, asked.low_mg) == (kg("3.01"), kg(3))
    assert asked.high_mg == kg("3.01") * 1015 // 1000


def test_a_rest_of_held_back_water_that_the_band_needs_is_asked_for() -> None:
    release = ReleaseStep(key="release", material="water", increment=f("0.05"), mix_s=25)
    bench = near_the_edge(add("water", "water", "0.8", "0.8"), release)
    bench.pours(kg("2.98"))
    assert bench.step == "release"
    assert bench.dosing.target_mg == kg("0.03")


def test_the_rest_of_a_dose_is_not_too_small_for_the_scale_where_the_dose_is_not() -> None:
    """A scale of 5 g weighs no less than 137 g of fibre well enough; of 544 g it does, in however many parts."""
    bench = blend(5000).goes_to("fibre")
    bench.does(Book(weight=weight(g(440), division_mg=5000)))
    assert (bench.step, bench.dosing.target_mg) == ("fibre", g(105))
    assert "dose-small-for-scale" not in bench.codes
