"""The table of units against an independent library, and its own order."""

from fractions import Fraction
from functools import cache
from itertools import pairwise
from typing import Any

import pint
import pytest

from mixstation.units.tables import (
    COMPOUNDS,
    QUESTIONS,
    UNITS,
    UNITS_BY_KEY,
    UNITS_BY_SPELLING,
    Unit,
    normal_spelling,
)

BASES = {
    "mass": "mg",
    "volume": "mL",
    "length": "mm",
    "temperature": "degC",
    "time": "s",
    "share": "",
    "density": "kg/m**3",
    "speed": "km/hour",
}
OTHER_NAMES = {
    "US gal": "gallon",
    "US qt": "quart",
    "US pt": "pint",
    "US fl oz": "fluid_ounce",
    "imp gal": "imperial_gallon",
    "imp qt": "imperial_quart",
    "imp pt": "imperial_pint",
    "imp fl oz": "imperial_fluid_ounce",
    "m3": "m**3",
    "ft3": "ft**3",
    "kg/m3": "kg/m**3",
    "g/cm3": "g/cm**3",
    "lb/ft3": "lb/ft**3",
    "%": "percent",
    "°C": "degC",
    "°F": "degF",
    "h": "hour",
    "d": "day",
    "km/h": "km/hour",
}


@cache
def registry() -> Any:
    return pint.UnitRegistry(non_int_type=Fraction)


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: unit.key)
def test_factor_is_the_one_pint_knows(unit: Unit) -> None:
    for reading in (Fraction(1), Fraction(-40), Fraction(77, 3)):
        theirs = registry().Quantity(reading, OTHER_NAMES.get(unit.key, unit.key)).to(BASES[unit.dimension])
        assert (reading - unit.offset) * unit.factor == theirs.magnitude


def test_no_spelling_belongs_to_two_units() -> None:
    assert len(UNITS_BY_KEY) == len(UNITS)
    for unit in UNITS:
        for spelled in (unit.key, *unit.spellings):
            assert UNITS_BY_SPELLING[normal_spelling(spelled)] is unit


def test_questions_ask_about_no_unit_of_the_dimension_and_offer_known_ones() -> None:
    for (dimension, spelled), question in QUESTIONS.items():
        known = UNITS_BY_SPELLING.get(spelled)
        assert known is None or known.dimension != dimension
        assert len(question.choices) > 1
        assert all(choice in UNITS_BY_KEY for choice in question.choices)


def test_compounds_go_from_large_to_small_in_whole_steps() -> None:
    for compound in COMPOUNDS:
        units = [UNITS_BY_KEY[key] for key in compound]
        assert len({unit.dimension for unit in units}) == 1
        for larger, smaller in pairwise(units):
            assert larger.factor > smaller.factor
            assert (larger.factor / smaller.factor).denominator == 1


def test_only_ascii_letters_change_case() -> None:
    assert normal_spelling("KG") == "kg"
    assert normal_spelling("Fl.  Oz.") == "fl oz"
    assert normal_spelling("\u212ag") == "\u212ag"
