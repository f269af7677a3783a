"""One mix's water, read every way a label may mean it."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from mixstation.frozen import Frozen
from mixstation.recipe.model import Basis, Recipe
from mixstation.recipe.proportions import water_ratio


class WaterRatio(Frozen):
    """Water over a basis, "added" as plain water or "all" with what the other materials bring."""

    water: Literal["added", "all"]
    of: Basis
    ratio: Fraction
    steers: bool


def water_ratios(recipe: Recipe, masses_mg: Mapping[str, Fraction | int]) -> tuple[WaterRatio, ...]:
    """The water ratios of a mix side by side.

    Returns:
        Added and all-in water over binder and over cement; over dry powder too where the recipe steers by it or a
        blend does not state its cement or binder.
    """
    known = [basis for basis in (Basis.BINDER, Basis.CEMENT) if _known(recipe, basis)]
    if recipe.water.of is Basis.POWDER or len(known) < 2:
        known.append(Basis.POWDER)
    return tuple(
        WaterRatio(
            water=water,
            of=basis,
            ratio=water_ratio(recipe, masses_mg, basis, added_only=water == "added"),
            steers=water == "all" and basis is recipe.water.of,
        )
        for basis in known
        for water in ("added", "all")
    )


def _known(recipe: Recipe, basis: Basis) -> bool:
    shares = [
        material.cement_fraction if basis is Basis.CEMENT else material.binder_fraction
        for material in recipe.materials
        if material.is_powder
    ]
    return None not in shares and any(shares)
