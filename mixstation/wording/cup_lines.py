"""Words about a cup of mix: how to fill it, and what its weight tells."""

from mixstation.batch.wet_density import WetDensity
from mixstation.recipe.model import Recipe
from mixstation.units.show import DisplayUnits, show_density, show_percent, show_volume_l

CUP_LINE = "weigh a cup of mix: its air and yield"
TYPE_CUP = "Type the volume of the cup."
CUP_DETAIL = ("Not known? Fill it with water to the rim. Type the water's weight with its unit: 498 g.",)
TYPE_CUPFUL = "Fill the cup with mix. Type the weight of the mix alone."
CUPFUL_DETAIL = ("Tap the cup 10 to 15 times. Strike it off level. Wipe the outside.",)
CUP_ENTER = "back to work"
NOTHING_TOLD = ("Nothing is in the bucket: a cup of it tells nothing.",)


def density_said(found: WetDensity, units: DisplayUnits) -> str:
    """Density with what the scale leaves open."""
    sure = f"{show_density(found.measured_kg_m3, units)} ± {show_density(found.expanded_kg_m3, units)}"
    return sure.replace(" kg/m³ ±", " ±").replace(" lb/ft³ ±", " ±")


def air_said(found: WetDensity, recipe: Recipe) -> str:
    """Air against the recipe's own."""
    if found.air_fraction is None:
        return "heavier than the mix can be without any air: weigh the cup again, or look at the densities"
    return (
        f"{show_percent(found.air_fraction, 1)}, the recipe counts on {show_percent(recipe.air_fraction, 1)}"
    )


def yield_said(found: WetDensity, units: DisplayUnits) -> str:
    """Volume made, and of what it was to be."""
    return (
        f"{show_volume_l(found.made_l, units)}, {show_percent(found.yield_ratio, 1)} of the computed volume"
    )


def cup_tells(found: WetDensity, recipe: Recipe, units: DisplayUnits) -> tuple[str, ...]:
    """What a cup tells, most important first."""
    return (
        f"The bucket makes {yield_said(found, units)}.",
        f"Air: {air_said(found, recipe)}.",
        f"Wet density: {density_said(found, units)}.",
    )
