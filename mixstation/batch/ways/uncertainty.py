"""How well the final water ratio is known, with a scale of its own for each material."""

from collections.abc import Mapping
from fractions import Fraction

from mixstation.batch.events import WeightRecorded
from mixstation.batch.run import Run
from mixstation.recipe.proportions import basis_mass, free_water


def ratio_uncertainty(run: Run, finals: Mapping[str, Fraction], divisions_mg: Mapping[str, int]) -> float:
    """Standard uncertainty of the final water ratio from the displays' rounding.

    Args:
        run: The batch; its live weighings count with the division they were shown in.
        finals: Weighed mass of each material at the end, milligrams.
        divisions_mg: Of the scale that weighs what is still to come.

    Returns:
        Standard uncertainty (k = 1) of the ratio; 0 where nothing makes up its basis.

    Source:
        JCGM 100, from memory (a net of two rounded readings has d/sqrt(6); first-order propagation).
    """
    recipe = run.recipe
    basis = float(basis_mass(recipe, finals, recipe.water.of))
    if not basis:
        return 0.0
    ratio = float(free_water(recipe, finals)) / basis
    squares = dict.fromkeys(finals, 0.0)
    for entry in run.live:
        if isinstance(entry.fact, WeightRecorded):
            squares[entry.fact.material] += entry.fact.division_mg**2
    total = 0.0
    for material in recipe.materials:
        square = squares[material.key]
        if finals[material.key] > run.content[material.key]:
            square += divisions_mg[material.key] ** 2
        slope = (float(material.water_share) - ratio * float(material.basis_share(recipe.water.of))) / basis
        total += slope**2 * square / 6
    return float(total**0.5)
