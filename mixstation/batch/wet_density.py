"""What a cup of mix tells: its wet density, and from it the air and the volume that were really made."""

from collections.abc import Mapping
from fractions import Fraction

from mixstation.batch.commands import MeasureDensity
from mixstation.batch.events import DensityMeasured
from mixstation.batch.refusal import CupSize, NoMixDensity, RefusedError
from mixstation.frozen import Frozen
from mixstation.proportion.density import (
    air_free_density_kg_m3,
    gravimetric_air_fraction,
    relative_yield_ratio,
    wet_density_kg_m3,
    yield_l,
)
from mixstation.proportion.error import ProportionError
from mixstation.proportion.weighing import COVERAGE_RATIO, net_uncertainty_g
from mixstation.recipe.model import Recipe
from mixstation.recipe.proportions import volume_l
from mixstation.units.plausible import RANGES

_CUP, _DENSITY = RANGES["cup"], RANGES["wet density"]
_MG_PER_KG = 1_000_000


class WetDensity(Frozen):
    """A measured wet density and what follows from it.

    Attributes:
        expanded_kg_m3: Its uncertainty from the display's rounding, k = 2.
        air_fraction: Air in the mix; None where it is heavier than it could be without any: a mass or a density is
            wrong.
        made_l: Volume that everything made takes at this density.
        yield_ratio: Of the volume by absolute volume with the recipe's own air.
    """

    measured_kg_m3: float
    expanded_kg_m3: float
    air_fraction: float | None
    made_l: float
    yield_ratio: float


def measured(command: MeasureDensity) -> DensityMeasured:
    """The cup as a fact.

    Raises:
        RefusedError: "cup-size", or "no-mix-density" with what the two figures come to, kg/m³.
    """
    weight, cup_ul = command.weight, command.cup_ul
    if not _CUP.holds(Fraction(cup_ul, 1000)):
        raise RefusedError(CupSize(least_ul=int(1000 * _CUP.least), most_ul=int(1000 * _CUP.most)))
    # A milligram a microlitre is a thousand kilograms a cubic metre.
    found_kg_m3 = Fraction(1000 * weight.mass_mg, cup_ul)
    if not _DENSITY.holds(found_kg_m3):
        least_kg_m3, most_kg_m3 = int(_DENSITY.least), int(_DENSITY.most)
        raise RefusedError(
            NoMixDensity(found_kg_m3=round(found_kg_m3), least_kg_m3=least_kg_m3, most_kg_m3=most_kg_m3)
        )
    return DensityMeasured(
        mass_mg=weight.mass_mg,
        cup_ul=cup_ul,
        source=weight.source,
        shown=weight.shown,
        division_mg=weight.division_mg,
    )


def wet_density(
    recipe: Recipe, content: Mapping[str, Fraction], fact: DensityMeasured, made_mg: Fraction
) -> WetDensity | None:
    """What a cup of mix tells, by the content when it was filled; None where nothing was in the bucket.

    Source: ASTM C138, density, yield, relative yield and air content, from memory.
    """
    try:
        cup_l = fact.cup_ul / _MG_PER_KG
        density = wet_density_kg_m3(fact.mass_mg / _MG_PER_KG, volume_l=cup_l)
        planned_l = volume_l(recipe, content)
        held_kg = float(sum(content.values(), Fraction(0))) / _MG_PER_KG
        computed = wet_density_kg_m3(held_kg, volume_l=planned_l)
        air_free = air_free_density_kg_m3(computed, air_fraction=float(recipe.air_fraction))
        made_l = yield_l(float(made_mg) / _MG_PER_KG, density_kg_m3=density)
        designed_l = yield_l(float(made_mg) / _MG_PER_KG, density_kg_m3=computed)
        return WetDensity(
            measured_kg_m3=density,
            expanded_kg_m3=COVERAGE_RATIO * net_uncertainty_g(fact.division_mg / 1000) / cup_l,
            air_fraction=gravimetric_air_fraction(air_free_kg_m3=air_free, measured_kg_m3=density)
            if density <= air_free
            else None,
            made_l=made_l,
            yield_ratio=relative_yield_ratio(made_l=made_l, designed_l=designed_l),
        )
    except ProportionError:
        return None
