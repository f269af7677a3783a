"""Sentences for a formula or a recipe that cannot answer what it was asked."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from mixstation.units.clean import clean

FORMULAS: Mapping[str, str] = MappingProxyType(
    {
        "not-finite": "The {what} must be a number; found {found}.",
        "negative": "The {what} cannot be below nought; found {found}.",
        "not-positive": "The {what} must be more than nought; found {found}.",
        "out-of-range": "The {what} must be from {least} to {most}; found {found}.",
        "water-would-freeze": "For a mix of {wanted_c} °C the water would have to be at {needed_c} °C. Put ice in.",
        "water-would-boil": "For a mix of {wanted_c} °C the water would have to be at {needed_c} °C. "
        "Warm the powders and the shop.",
        "ice-over-water": "That takes {ice_kg} kg of ice, more than the {water_kg} kg of water. "
        "Cool the powders too, or wait for a cooler hour.",
        "denser-than-air-free": "{measured_kg_m3} kg/m³ is more than the mix without any air ({air_free_kg_m3} kg/m³). "
        "Weigh again, or look at the densities.",
        "hours-not-rising": "The hours must rise: {to_h} h comes after {from_h} h.",
    }
)

SCALING: Mapping[str, str] = MappingProxyType(
    {
        "powder-missing": "The recipe has no powder, so it cannot be scaled. Write one, with its parts.",
        "basis-empty": "Nothing in the recipe counts as {basis}, so nothing can be a share of it. Take another basis.",
        "water-all-carried": "The other materials bring more water than the recipe's target: none is left to pour. "
        "Raise the target, or lower what carries water.",
        "fibres-fill-the-mix": "The fibres alone would fill the mix. Lower their doses in the recipe.",
        "amount-not-positive": "The amount to mix must be more than nothing.",
        "unknown-material": "The recipe has no material “{found}”. It has: {choices}.",
        "nothing-to-scale-by": "The recipe holds none of that material, so an amount of it says nothing. "
        "Give the amount of another one.",
    }
)

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


def formula_line(error: Any) -> str:
    """The sentence for a `proportion.error.ProportionError`.

    Raises:
        KeyError: A code without a sentence.
    """
    values = dict(error.values)
    what, unit = _said(str(values.get("name", "")))
    shown = {
        name: clean(value, 100) if isinstance(value, str) else f"{value:g}" for name, value in values.items()
    }
    if "name" in values:
        shown |= {name: f"{shown[name]}{unit}" for name in ("found", "least", "most") if name in shown}
    return FORMULAS[error.code].format(what=what, **shown)


def scaling_line(error: Any) -> str:
    """The sentence for a `recipe.proportions.ScalingError`.

    Raises:
        KeyError: A code without a sentence.
    """
    return SCALING[error.code].format(**{name: clean(text, 100) for name, text in error.values.items()})


def _said(name: str) -> tuple[str, str]:
    """The name of a number in words, and its unit.

    >>> _said("water_kg")
    ('water', ' kg')
    """
    for ending, unit in _UNITS.items():
        if name.endswith(f"_{ending}"):
            return name.removesuffix(f"_{ending}").replace("_", " "), unit
    return name.replace("_", " "), ""
