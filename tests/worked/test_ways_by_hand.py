"""Ways out worked by hand: how much to grow a batch with too much water in it.

All in on a scale of 1 g; the figures by hand stand beside each case.
"""

from fractions import Fraction

import pytest

from mixstation.batch.events import StepDone, SupplyRanOut
from mixstation.batch.run import Run
from mixstation.batch.way import Way
from mixstation.batch.ways import ways_out
from mixstation.recipe.model import Basis, Dose, Recipe, Role, WaterRule
from tests.batch.ways.bucket import add, begin, limits, material, mix, told, weighed, work


def finished(recipe: Recipe, powders_kg: dict[str, Fraction]) -> Run:
    run = begin(recipe, powders_kg, bucket_l=40.0)
    return work(run, dict.fromkeys(run.content, 1_000))


def ways_of(run: Run) -> dict[str, Way]:
    found = ways_out(run, limits(run, divisions_mg=dict.fromkeys(run.content, 1_000)))
    return {way.goal: way for way in found if way.goal and not way.hindrances}


def total_kg(way: Way, key: str) -> float:
    return next(amount.mass_mg for amount in way.totals if amount.material == key) / 1e6


def rule(target: Fraction, least: Fraction, most: Fraction, of: Basis) -> WaterRule:
    return WaterRule(of=of, target=target, least=least, most=most, ceiling=most)


def test_3_6_for_3_4_kg_at_0_34() -> None:
    """Cement 10 kg, w/c 0.34: 3.4 kg asked, 3.6 in. 3.6/3.4 = 1.058824; cement + 0.588 kg."""
    recipe = Recipe(
        key="paste",
        name="paste",
        revision="1",
        water=rule(Fraction(34, 100), Fraction(30, 100), Fraction(345, 1000), Basis.CEMENT),
        materials=(material("water", Role.WATER), material("cement", Role.CEMENT, parts=Fraction(1))),
        steps=(add("water"), add("cement"), mix("mix")),
        air_fraction=Fraction(1, 20),
        working_min=30,
    )
    run = finished(recipe, {"cement": Fraction(10)})
    assert run.content["water"] == 3_400_000
    ways = ways_of(weighed(run, "water", 200_000, None))
    growth = 3.6 / 3.4
    assert growth == pytest.approx(1.058824, abs=5e-7)
    assert total_kg(ways["nearest"], "cement") == pytest.approx(10 * growth, abs=0.0015)
    assert [amount.mass_mg for amount in ways["nearest"].additions] == [pytest.approx(588_000, abs=1_500)]


def four_ratios(most: Fraction) -> Run:
    """Water 2.95 kg, polymer liquid 1.13 kg at half solids, binder 10.66 kg of which cement 7.94: a printed recipe."""
    polymer = Fraction(1_130, 2 * 7_940)
    recipe = Recipe(
        key="printed",
        name="printed",
        revision="1",
        water=rule(Fraction(3_515, 10_660), Fraction(28, 100), most, Basis.BINDER),
        materials=(
            material("water", Role.WATER),
            material("cement", Role.CEMENT, parts=Fraction(794)),
            material("pozzolan", Role.POZZOLAN, parts=Fraction(272)),
            material(
                "polymer",
                Role.POLYMER,
                water_fraction=Fraction(1, 2),
                dose=Dose(
                    fraction=polymer,
                    of=Basis.CEMENT,
                    counts="solids",
                    least=polymer * Fraction(9, 10),
                    most=polymer * Fraction(11, 10),
                ),
            ),
        ),
        steps=(add("water"), add("polymer"), add("cement"), add("pozzolan"), mix("mix")),
        air_fraction=Fraction(1, 20),
        working_min=30,
    )
    run = finished(recipe, {"cement": Fraction(794, 100), "pozzolan": Fraction(272, 100)})
    assert (run.content["water"], run.content["polymer"]) == (2_950_000, 1_130_000)
    return weighed(run, "water", 200_000, None)


def test_with_polymer_everything_grows_by_the_water_added() -> None:
    """(2.95 + 0.2)/2.95 = 1.0678 on polymer and both binders."""
    nearest = ways_of(four_ratios(Fraction(36, 100)))["nearest"]
    growth = 3.15 / 2.95
    assert growth == pytest.approx(1.068, abs=0.0005)
    for key, planned_kg in (("cement", 7.94), ("pozzolan", 2.72), ("polymer", 1.13)):
        assert total_kg(nearest, key) == pytest.approx(planned_kg * growth, abs=0.004)
    assert {amount.material for amount in nearest.additions} == {"polymer", "cement", "pozzolan"}


def test_with_powder_alone_it_grows_by_all_the_water() -> None:
    """(3.515 + 0.2)/3.515 = 1.0569 on both binders where the target is as wet as the mix may be."""
    run = four_ratios(Fraction(3_515, 10_660))
    least = ways_of(run)["least-added"]
    growth = 3.715 / 3.515
    assert growth == pytest.approx(1.057, abs=0.0005)
    assert total_kg(least, "polymer") == 1.13
    for key, planned_kg in (("cement", 7.94), ("pozzolan", 2.72)):
        assert total_kg(least, key) == pytest.approx(planned_kg * growth, rel=0.002)


def test_powder_only_to_the_upper_limit() -> None:
    """3.715 kg of water at no more than 0.345 wants 10.768 kg of binder: 0.108 kg more, and no polymer."""
    least = ways_of(four_ratios(Fraction(345, 1000)))["least-added"]
    assert least.kind == "powder-only"
    assert total_kg(least, "cement") + total_kg(least, "pozzolan") == pytest.approx(3.715 / 0.345, abs=0.02)
    assert least.ratio is not None
    assert least.ratio <= Fraction(345, 1000)


def test_shrinking_to_the_powder_there_is() -> None:
    """Half the water in, cement short at 9 of 10 kg: water 0.9 × 3.4 = 3.06 kg."""
    recipe = Recipe(
        key="paste",
        name="paste",
        revision="1",
        water=rule(Fraction(34, 100), Fraction(30, 100), Fraction(345, 1000), Basis.CEMENT),
        materials=(material("water", Role.WATER), material("cement", Role.CEMENT, parts=Fraction(1))),
        steps=(add("water", 50, 50), add("cement"), mix("mix"), add("water", 50, 100)),
        air_fraction=Fraction(1, 20),
        working_min=30,
    )
    run = begin(recipe, {"cement": Fraction(10)}, bucket_l=40.0)
    run = work(run, dict.fromkeys(run.content, 1_000), until="cement-100")
    run = weighed(run, "cement", 9_000_000, "cement-100")
    run = told(run, SupplyRanOut(material="cement"), StepDone(step="cement-100"))
    shrunk = ways_of(run)["nearest"]
    assert shrunk.kind == "shrink"
    assert total_kg(shrunk, "water") == pytest.approx(3.06, abs=0.001)
