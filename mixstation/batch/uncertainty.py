"""How well the final water ratio is known, with a scale of its own for each material."""

from collections.abc import Mapping
from fractions import Fraction

from mixstation.batch.events import MaterialRemoved, WeightRecorded
from mixstation.batch.run import Run
from mixstation.proportion.weighing import net_uncertainty_g
from mixstation.recipe.proportions import basis_mass, free_water


def ratio_uncertainty(run: Run, finals: Mapping[str, Fraction], divisions_mg: Mapping[str, int]) -> float:
    """Standard uncertainty (k = 1) of the final water ratio from the displays' rounding; 0 where it has no basis.

    Args:
        run: The batch; its live weighings, in and out, count with the division they were shown in.
        divisions_mg: Of the scale that weighs what is still to come.

    Source: JCGM 100, from memory: `net_uncertainty_g` of each weighing, first-order propagation.
    """
    recipe = run.recipe
    basis = float(basis_mass(recipe, finals, recipe.water.of))
    if not basis:
        return 0.0
    ratio = float(free_water(recipe, finals)) / basis
    squares = dict.fromkeys(finals, 0.0)
    for entry in run.live:
        if isinstance(entry.fact, WeightRecorded | MaterialRemoved):
            squares[entry.fact.material] += _net_variance(entry.fact.division_mg)
    total = 0.0
    for material in recipe.materials:
        square = squares[material.key]
        if finals[material.key] > run.content[material.key]:
            square += _net_variance(divisions_mg[material.key])
        slope = (float(material.water_share) - ratio * float(material.basis_share(recipe.water.of))) / basis
        total += slope**2 * square
    return float(total**0.5)


def _net_variance(division_mg: int) -> float:
    """Square of the standard uncertainty of a net weight, mg²; none where a weight was exact."""
    return (1000 * net_uncertainty_g(division_mg / 1000)) ** 2 if division_mg else 0.0
