"""All pigment together is held to 10 % of cement and to the own limit of each pigment (ASTM C979 §1.4 [std])."""

from dataclasses import replace
from fractions import Fraction

from mixstation.batch.run import Run
from mixstation.batch.way import Way
from mixstation.batch.ways import ways_out
from mixstation.recipe.model import Basis, Cap, Dose, Recipe, Role
from tests.batch.ways.bucket import RAW, RAW_KG, add, begin, limits, material, per_mille, work


def two_pigments(*, target: int = 49, cap: int | None = None) -> Recipe:
    """Two pigments, each with a wide band of its own."""
    dose = Dose(
        fraction=per_mille(target), of=Basis.CEMENT, least=per_mille(target - 10), most=per_mille(target + 16)
    )
    own = None if cap is None else Cap(fraction=per_mille(cap), of=Basis.CEMENT, source="its label")
    black = material("black", Role.PIGMENT, dose=dose, cap=own)
    others = [replace(each, dose=dose, cap=None) if each.key == "pigment" else each for each in RAW.materials]
    steps = [
        each for step in RAW.steps for each in ((step, add("black")) if step == add("pigment") else (step,))
    ]
    return replace(RAW, materials=(*others, black), steps=tuple(steps))


def darkened(recipe: Recipe, factor: str) -> Run:
    """All in but the fibre, one pigment poured by a factor of its dose."""
    run = begin(recipe, RAW_KG, bucket_l=40.0)
    steps = {"pigment-100": Fraction(factor)}
    return work(run, limits(run).divisions_mg, until="fibre-100", factors=steps)


def least_added(run: Run) -> Way | None:
    """The way that adds just what brings a batch inside every limit; None where it is inside."""
    found = [way for way in ways_out(run, limits(run)) if not way.hindrances]
    return next((way for way in found if way.goal == "least-added"), None)


def pigment_over_cement(way: Way) -> float:
    total = {amount.material: amount.mass_mg for amount in way.totals}
    return (total["pigment"] + total["black"]) / total["cement"]


def test_each_within_its_band_and_both_too_much_is_mended() -> None:
    """4.9 + 1.3 × 4.9 = 11.27 % went in."""
    way = least_added(darkened(two_pigments(), "1.3"))
    assert way is not None
    assert 0.099 < pigment_over_cement(way) <= 0.10


def test_within_the_tenth_the_blend_asks_for_nothing() -> None:
    """4 + 1.3 × 4 = 9.2 %."""
    assert least_added(darkened(two_pigments(target=40), "1.3")) is None


def test_the_own_limit_of_one_holds_the_whole_blend() -> None:
    """3 + 1.3 × 3 = 6.9 %; the black's label says 6.2."""
    way = least_added(darkened(two_pigments(target=30, cap=62), "1.3"))
    assert way is not None
    assert 0.061 < pigment_over_cement(way) <= 0.062


def test_a_recipe_that_means_more_is_not_held_to_it() -> None:
    assert least_added(darkened(two_pigments(target=60), "1")) is None
