"""The closed table of units: what may be typed, and the exact factor of each.

Bases: mass mg, volume mL, length mm, temperature °C, time s, share 1, density kg/m³, speed km/h.
"""

import string
from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from mixstation.frozen import Frozen
from mixstation.units.errors import WhichGallon, WhichOunce, WhichTon

Dimension = Literal["mass", "volume", "length", "temperature", "time", "share", "density", "speed"]

# NIST SP 811 (2008), Appendix B.8 and its footnotes; the US gallon is 231 in³ (NIST Handbook 44, Appendix C).
MM_PER_INCH = Fraction(254, 10)
MM_PER_FOOT = 12 * MM_PER_INCH
MG_PER_POUND = Fraction(45_359_237, 100)
MG_PER_OUNCE = MG_PER_POUND / 16
ML_PER_US_GALLON = 231 * MM_PER_INCH**3 / 1_000
ML_PER_FT3 = MM_PER_FOOT**3 / 1_000
# Two weights a division apart in pounds may be a milligram more apart once each is rounded.
ROUNDING_MG = 1
# Weights and Measures Act 1985 (UK), Schedule 1, Part IV: the gallon is 4.54609 cubic decimetres.
ML_PER_IMPERIAL_GALLON = Fraction(454_609, 100)


class Unit(Frozen):
    """One unit.

    Attributes:
        key: The unit as we print it and as code names it.
        dimension: What it measures.
        factor: How many base units make one of it.
        offset: Taken off a reading before the factor is applied; 0 for all but °F.
        spellings: Other ways to type it, in lower case; the key itself always counts.
    """

    key: str
    dimension: Dimension
    factor: Fraction
    offset: Fraction = Fraction(0)
    spellings: tuple[str, ...] = ()


# Name, how many make a gallon (None: it differs between the two systems), other names.
_LIQUID_NAMES = (
    ("gal", 1, ("gallon", "gallons")),
    ("qt", 4, ("quart", "quarts")),
    ("pt", 8, ("pint", "pints")),
    ("fl oz", None, ("floz", "fluid oz", "fluid ounce", "fluid ounces")),
)


def _liquid_units(systems: tuple[str, ...], gallon_ml: Fraction, ounce_count: int) -> Iterator[Unit]:
    for name, count, names in _LIQUID_NAMES:
        yield Unit(
            key=f"{systems[0]} {name}",
            dimension="volume",
            factor=gallon_ml / (count or ounce_count),
            spellings=tuple(f"{system} {spelled}" for system in systems for spelled in (name, *names)),
        )


def _unit(key: str, dimension: Dimension, factor: Fraction | int, *spellings: str) -> Unit:
    return Unit(key=key, dimension=dimension, factor=Fraction(factor), spellings=spellings)


UNITS: tuple[Unit, ...] = (
    _unit("mg", "mass", 1, "milligram", "milligrams"),
    _unit("g", "mass", 1_000, "gram", "grams", "gramme", "grammes"),
    _unit("kg", "mass", 1_000_000, "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes"),
    _unit("t", "mass", 1_000_000_000, "tonne", "tonnes"),
    _unit("lb", "mass", MG_PER_POUND, "lbs", "pound", "pounds"),
    _unit("oz", "mass", MG_PER_OUNCE, "ounce", "ounces"),
    _unit("mL", "volume", 1, "millilitre", "millilitres", "milliliter", "milliliters"),
    _unit("cL", "volume", 10, "centilitre", "centilitres", "centiliter", "centiliters"),
    _unit("L", "volume", 1_000, "litre", "litres", "liter", "liters"),
    _unit("m3", "volume", 1_000_000, "m³"),
    _unit("ft3", "volume", ML_PER_FT3, "ft³", "cu ft"),
    *_liquid_units(("US",), ML_PER_US_GALLON, 128),
    *_liquid_units(("imp", "imperial", "uk"), ML_PER_IMPERIAL_GALLON, 160),
    _unit("mm", "length", 1, "millimetre", "millimetres", "millimeter", "millimeters"),
    _unit("cm", "length", 10, "centimetre", "centimetres", "centimeter", "centimeters"),
    _unit("m", "length", 1_000, "metre", "metres", "meter", "meters"),
    _unit("in", "length", MM_PER_INCH, '"', "″", "”", "inch", "inches"),
    _unit("ft", "length", MM_PER_FOOT, "'", "′", "’", "foot", "feet"),
    _unit("°C", "temperature", 1, "c", "° c", "deg c", "degc", "celsius"),
    Unit(
        key="°F",
        dimension="temperature",
        factor=Fraction(5, 9),
        offset=Fraction(32),
        spellings=("f", "° f", "deg f", "degf", "fahrenheit"),
    ),
    _unit("s", "time", 1, "sec", "secs", "second", "seconds"),
    _unit("min", "time", 60, "mins", "minute", "minutes"),
    _unit("h", "time", 3_600, "hr", "hrs", "hour", "hours"),
    _unit("d", "time", 86_400, "day", "days"),
    _unit("%", "share", Fraction(1, 100), "percent", "per cent"),
    _unit("kg/m3", "density", 1, "kg/m³"),
    _unit("g/cm3", "density", 1_000, "g/cm³"),
    _unit("g/mL", "density", 1_000),
    _unit("kg/L", "density", 1_000),
    _unit("lb/ft3", "density", MG_PER_POUND / ML_PER_FT3, "lb/ft³", "lbs/ft3", "lbs/ft³", "pcf"),
    _unit("km/h", "speed", 1, "kmh", "kph"),
    _unit("m/s", "speed", Fraction(36, 10)),
    _unit("mph", "speed", MM_PER_FOOT * 5_280 / 1_000_000, "mi/h"),
)

COMPOUNDS: tuple[tuple[str, ...], ...] = (("lb", "oz"), ("ft", "in"), ("d", "h", "min", "s"))
"""Units that may follow one another in one quantity, largest first."""

VULGAR_DIMENSIONS: frozenset[Dimension] = frozenset({"length", "volume", "share"})
"""Where "3/8" may be typed; a mass is read from a scale, which never shows one."""


class Question(Frozen):
    """A spelling that must be asked about.

    Attributes:
        kind: What is told of it.
        choices: Keys of the units it may mean.
    """

    kind: type[WhichGallon | WhichOunce | WhichTon]
    choices: tuple[str, ...]


def _questions() -> Iterator[tuple[tuple[Dimension, str], Question]]:
    for name, _, names in _LIQUID_NAMES:
        for spelled in (name, *names):
            yield ("volume", spelled), Question(kind=WhichGallon, choices=(f"US {name}", f"imp {name}"))
    for spelled in ("oz", "ounce", "ounces"):
        choices = ("US fl oz", "imp fl oz", "oz")
        yield ("volume", spelled), Question(kind=WhichOunce, choices=choices)
    for spelled in ("ton", "tons"):
        yield ("mass", spelled), Question(kind=WhichTon, choices=("t", "lb"))


QUESTIONS: Mapping[tuple[Dimension, str], Question] = MappingProxyType(dict(_questions()))
"""What to ask, by the dimension wanted and the spelling found."""

_ASCII_LOWER = str.maketrans(string.ascii_uppercase, string.ascii_lowercase)


def normal_spelling(text: str) -> str:
    """A typed unit in the form the table uses: lower case, single spaces, no full stops after words.

    Only ASCII letters change case: the Kelvin sign and the long s must not turn into "k" and "s".

    Args:
        text: The unit as typed.

    Returns:
        The spelling to look up.

    Source: Choice: caps lock and "Fl. Oz." are common and clash with nothing in the table.
    """
    words = (word.removesuffix(".") for word in text.translate(_ASCII_LOWER).split(" ") if word)
    return " ".join(words)


UNITS_BY_KEY: Mapping[str, Unit] = MappingProxyType({unit.key: unit for unit in UNITS})
UNITS_BY_SPELLING: Mapping[str, Unit] = MappingProxyType(
    {normal_spelling(spelled): unit for unit in UNITS for spelled in (unit.key, *unit.spellings)}
)
