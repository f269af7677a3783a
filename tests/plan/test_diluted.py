"""A material weighed as its dilution: the same mix, with the water in another vessel."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.plan.cost import cost_of
from mixstation.plan.diluted import dilution_ratio, neat_share, with_dilution
from mixstation.plan.dosing import Dilution
from mixstation.recipe.model import Cap, Recipe
from mixstation.recipe.proportions import volume_l, water_ratio, whole_totals
from tests.plan.recipes import random_recipes, raw_recipe

POWDER_MG = 40_000_000


def test_by_hand() -> None:
    # Powders 10 : 9 dry, so 21.0526 kg of cement for 40 kg; 0.6 % plasticiser is 126.3 g, as 1 in 5 it is 631.6 g,
    # and the other 505.3 g are water that is not poured.
    neat = whole_totals(raw_recipe(), POWDER_MG)
    diluted = whole_totals(with_dilution(raw_recipe(), "plasticiser", 5, "Plasticiser 1 in 5"), POWDER_MG)
    assert float(neat["plasticiser"]) == pytest.approx(126_316, abs=1)
    assert float(diluted["plasticiser"]) == pytest.approx(631_579, abs=1)
    assert float(neat["water"] - diluted["water"]) == pytest.approx(505_263, abs=1)


@given(random_recipes(), st.sampled_from(["plasticiser", "ochre", "emulsion"]), st.integers(2, 50))
def test_the_mix_is_the_same(recipe: Recipe, key: str, ratio: int) -> None:
    neat = whole_totals(recipe, POWDER_MG)
    powders = [material for material in recipe.materials if material.is_powder]
    thirst_mg = -sum(neat[powder.key] * powder.water_share for powder in powders)
    # What is poured has to fill the pores of thirsty sand, or its volume is not that of a mix.
    if neat["water"] - neat[key] * (ratio - 1) <= max(0, thirst_mg):
        return
    changed = with_dilution(recipe, key, ratio, "diluted")
    masses = whole_totals(changed, POWDER_MG)
    assert masses[key] == neat[key] * ratio
    assert masses["water"] == neat["water"] - neat[key] * (ratio - 1)
    assert {k: m for k, m in masses.items() if k not in (key, "water")} == {
        k: m for k, m in neat.items() if k not in (key, "water")
    }
    of = recipe.water.of
    assert water_ratio(changed, masses, of) == water_ratio(recipe, neat, of) == recipe.water.target
    assert cost_of(changed, masses).exact_cents == cost_of(recipe, neat).exact_cents
    assert volume_l(changed, masses) == pytest.approx(volume_l(recipe, neat), rel=1e-9)
    assert masses[key] * neat_share(changed.material(key), recipe.material(key)) == neat[key]


def test_a_limit_on_the_dose_moves_with_it() -> None:
    recipe = raw_recipe()
    plasticiser = recipe.material("plasticiser")
    cap = Cap(fraction=Fraction(12, 1000), of=plasticiser.dose.of, source="its label")  # type: ignore[union-attr]
    recipe = replace(
        recipe,
        materials=tuple(replace(m, cap=cap) if m is plasticiser else m for m in recipe.materials),
    )
    diluted = with_dilution(recipe, "plasticiser", 4, "diluted").material("plasticiser")
    assert diluted.cap is not None
    assert diluted.dose is not None
    assert diluted.cap.fraction / diluted.dose.fraction == 2
    assert diluted.dose.fraction == Fraction(6, 1000) * Fraction(3, 10)


def test_what_is_not_diluted_counts_whole() -> None:
    recipe = raw_recipe()
    for material in recipe.materials:
        assert neat_share(material, material) == 1


def test_ratio_of_a_dilution() -> None:
    dilution = Dilution(
        material_mg=30_000, water_mg=120_000, portion_mg=60_000, portion_water_mg=48_000, over_mg=18_000
    )
    assert dilution_ratio(dilution) == 5


def test_the_ends_of_a_dose_move_with_it() -> None:
    """The plasticiser is 3 parts in 10 solids: 4 to 9 g of it in a kilogram of binder bring 1.2 to 2.7 g."""
    recipe = raw_recipe()
    plasticiser = recipe.material("plasticiser")
    assert plasticiser.dose is not None
    dose = replace(plasticiser.dose, least=Fraction(4, 1000), most=Fraction(9, 1000))
    recipe = replace(
        recipe,
        materials=tuple(replace(m, dose=dose) if m is plasticiser else m for m in recipe.materials),
    )
    diluted = with_dilution(recipe, "plasticiser", 4, "diluted").material("plasticiser").dose
    assert diluted is not None
    assert (diluted.least, diluted.most) == (Fraction(12, 10_000), Fraction(27, 10_000))
