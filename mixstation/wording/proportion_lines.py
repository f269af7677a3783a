"""Sentences for a formula or a recipe that cannot answer what it was asked."""

from typing import assert_never

from mixstation.proportion import error as why
from mixstation.proportion.error import FigureTrouble, FormulaTrouble, ProportionError
from mixstation.recipe.proportions import BasisEmpty, NoSuchMaterial, ScalingTrouble, Unscalable
from mixstation.wording.spoken import Plainly, spoken

_UNITS = {
    "kg_m3": " kg/m³",
    "kg": " kg",
    "g": " g",
    "l": " L",
    "mm": " mm",
    "c": " °C",
    "h": " h",
    "s": " s",
    "kmh": " km/h",
    "kpa": " kPa",
    "percent": " %",
    "fraction": "",
    "ratio": "",
    "count": "",
}


def formula_line(error: ProportionError) -> str:
    """The sentence for a formula that cannot answer."""
    what, unit = named(error.why.name) if isinstance(error.why, FigureTrouble) else ("", "")
    return spoken(_formula(error.why), error.why, Plainly(), what=what, unit=unit)


def _formula(trouble: FormulaTrouble) -> str:
    match trouble:
        case why.NotFinite():
            return "The {what} must be a number; found {found:g}{unit}."
        case why.Negative():
            return "The {what} cannot be below nought; found {found:g}{unit}."
        case why.NotPositive():
            return "The {what} must be more than nought; found {found:g}{unit}."
        case why.OutOfRange():
            return "The {what} must be from {least:g}{unit} to {most:g}{unit}; found {found:g}{unit}."
        case why.WaterWouldFreeze():
            return "For a mix of {wanted_c:g} °C the water would have to be at {needed_c:g} °C. Put ice in."
        case why.WaterWouldBoil():
            return (
                "For a mix of {wanted_c:g} °C the water would have to be at {needed_c:g} °C. "
                "Warm the powders and the shop."
            )
        case why.IceOverWater():
            return (
                "That takes {ice_kg:g} kg of ice, more than the {water_kg:g} kg of water. "
                "Cool the powders too, or wait for a cooler hour."
            )
        case why.OverAirFree():
            return (
                "{measured_kg_m3:g} kg/m³ is more than the mix without any air ({air_free_kg_m3:g} kg/m³). "
                "Weigh again, or look at the densities."
            )
        case why.HoursNotRising():
            return "The hours must rise: {to_h:g} h comes after {from_h:g} h."
        case _ as forgotten:
            assert_never(forgotten)


def scaling_sentence(trouble: ScalingTrouble) -> str:
    """The sentence for what is in the way of scaling a recipe."""
    return spoken(scaling_template(trouble), trouble, Plainly())


def scaling_template(trouble: ScalingTrouble) -> str:
    """The words, with fields of the trouble in braces."""
    match trouble:
        case Unscalable.POWDER_MISSING:
            return "The recipe has no powder, so it cannot be scaled. Write one, with its parts."
        case Unscalable.WATER_ALL_CARRIED:
            return (
                "The other materials bring more water than the recipe's target: none is left to pour. "
                "Raise the target, or lower what carries water."
            )
        case Unscalable.FIBRES_FILL_THE_MIX:
            return "The fibres alone would fill the mix. Lower their doses in the recipe."
        case Unscalable.AMOUNT_NOT_POSITIVE:
            return "The amount to mix must be more than nothing."
        case Unscalable.NOTHING_TO_SCALE_BY:
            return (
                "The recipe holds none of that material, so an amount of it says nothing. "
                "Give the amount of another one."
            )
        case BasisEmpty():
            return "Nothing in the recipe counts as {basis:plain}, so nothing can be a share of it. Take another basis."
        case NoSuchMaterial():
            return "The recipe has no material “{asked}”. It has: {known}."
        case _ as forgotten:
            assert_never(forgotten)


def named(name: str) -> tuple[str, str]:
    """The name of a number in words, and its unit.

    >>> named("water_kg")
    ('water', ' kg')
    """
    for ending, unit in _UNITS.items():
        if name.endswith(f"_{ending}"):
            return name.removesuffix(f"_{ending}").replace("_", " "), unit
    return name.replace("_", " "), ""
