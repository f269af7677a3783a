"""A recipe in which one material is weighed as a dilution in mix water, so that its water is counted as any other."""

from dataclasses import replace
from fractions import Fraction

from mixstation.plan.dosing import Dilution
from mixstation.recipe.model import Dose, Material, Recipe


def dilution_ratio(dilution: Dilution) -> int:
    """Parts of dilution that hold one part of the material. Source: Definition."""
    return 1 + dilution.water_mg // dilution.material_mg


def with_dilution(recipe: Recipe, key: str, ratio: int, name: str) -> Recipe:
    """The recipe that asks for the dilution instead of the material; the same one where that is nothing but water.

    The dose then counts solids, for these stay the same however much water is with them. A pack of the material makes
    `ratio` packs of dilution, so what it costs stays the same too.

    Args:
        key: A material with a dose and solids.
        ratio: Parts of dilution that hold one part of the material, at least 2.

    Raises:
        KeyError: The recipe has no such material.

    Source: Definition; volumes of liquids add up.
    """
    neat = recipe.material(key)
    solids = 1 - neat.water_fraction
    if not solids or neat.dose is None:
        return recipe
    by_solids = neat.dose.counts == "solids"
    water_kg_m3 = recipe.material(recipe.water_key).density_kg_m3
    diluted = replace(
        neat,
        name=name,
        water_fraction=1 - solids / ratio,
        density_kg_m3=ratio / (1 / neat.density_kg_m3 + (ratio - 1) / water_kg_m3),
        pack_mg=None if neat.pack_mg is None else neat.pack_mg * ratio,
        dose=neat.dose if by_solids else _dose_of(neat.dose, solids),
        cap=neat.cap
        if by_solids or neat.cap is None
        else replace(neat.cap, fraction=neat.cap.fraction * solids),
    )
    materials = tuple(diluted if material is neat else material for material in recipe.materials)
    return replace(recipe, materials=materials)


def neat_share(weighed: Material, neat: Material) -> Fraction:
    """Mass of the material as it is delivered in one unit of what was weighed; 1 for what was not diluted.

    Args:
        weighed: The material as the batch's recipe has it, diluted or not.
        neat: The same as its recipe's file has it.

    Source: Definition: diluting changes no solids.
    """
    if weighed.is_powder or neat.water_fraction == 1:
        return Fraction(1)
    return (1 - weighed.water_fraction) / (1 - neat.water_fraction)


def _dose_of(dose: Dose, solids: Fraction) -> Dose:
    """A dose by mass as one by solids."""
    return replace(
        dose,
        counts="solids",
        fraction=dose.fraction * solids,
        least=None if dose.least is None else dose.least * solids,
        most=None if dose.most is None else dose.most * solids,
    )
