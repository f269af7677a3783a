"""NIST Handbook 44, Specifications, Tolerances, and Other Technical Requirements, Appendix C, general tables of units.

Read: [mem], from memory of the tables of equivalents; the gallon of 231 cubic inches and its division into 4 quarts,
8 pints and 128 fluid ounces also as quoted by public sources.
Tolerance: 0 where the table says "exactly"; else half a unit of the last digit printed.
"""

from fractions import Fraction
from functools import partial

from mixstation.units.quantity import read_quantity
from mixstation.units.tables import UNITS_BY_KEY
from tests.published.case import PublishedCase


def _one(key: str) -> Fraction:
    """One of a unit as the program reads it, in the base unit of what it measures."""
    return read_quantity(f"1 {key}", UNITS_BY_KEY[key].dimension, None)


def _ratio(key: str, base: str) -> float:
    return float(_one(key) / (_one("in") ** 3 / 1_000 if base == "in³" else _one(base)))


def _case(what: str, key: str, printed: float, unit: str, tolerance: float = 0.0) -> PublishedCase:
    return PublishedCase(
        source="NIST Handbook 44 [mem]",
        place="Appendix C, tables of equivalents",
        what=what,
        expected=printed,
        tolerance=tolerance,
        unit=unit,
        compute=partial(_ratio, key, unit),
    )


CASES: tuple[PublishedCase, ...] = (
    _case("gallon (US)", "US gal", 231.0, "in³"),
    _case("liquid quart (US)", "US qt", 57.75, "in³"),
    _case("liquid pint (US)", "US pt", 28.875, "in³"),
    _case("fluid ounce (US)", "US fl oz", 1.805, "in³", 5e-4),
    _case("cubic foot in US gallons", "ft3", 7.481, "US gal", 5e-4),
    _case("gallon (UK) in cubic inches", "imp gal", 277.42, "in³", 5e-3),
    _case("gallon (UK) in US gallons", "imp gal", 1.201, "US gal", 5e-4),
    _case("fluid ounce (UK) in US", "imp fl oz", 0.961, "US fl oz", 5e-4),
    _case("pound (avoirdupois)", "lb", 453.59237, "g"),
    _case("pound in ounces", "lb", 16.0, "oz"),
)
