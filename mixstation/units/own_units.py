"""What a scale of its own shows masses in, whatever the rest of the shop reads in."""

from fractions import Fraction
from typing import Final

from mixstation.units.show import DisplayUnits
from mixstation.units.tables import MG_PER_OUNCE, MG_PER_POUND, ROUNDING_MG

_OF_UNIT: Final = {
    "g": DisplayUnits.METRIC,
    "kg": DisplayUnits.METRIC,
    "lb": DisplayUnits.US,
    "oz": DisplayUnits.US_POUND_OUNCE,
}
UNITS: Final = tuple(_OF_UNIT)
"""The units a scale on file may name."""


def own_units(units: DisplayUnits, unit: str, division_mg: int) -> DisplayUnits:
    """What a scale shows: the unit its entry names, else the one its division is a round step of, else the shop's.

    Args:
        units: What the shop reads in.
        unit: "" where the entry names none.
        division_mg: Of that scale, above 0.

    Source: Choice: a display steps in ones, twos or fives of its last digit.

    Example:
        >>> own_units(DisplayUnits.US, "", 10), own_units(DisplayUnits.METRIC, "", 2835)
        (<DisplayUnits.METRIC: 'metric'>, <DisplayUnits.US_POUND_OUNCE: 'us-pound-ounce'>)
    """
    if unit:
        return _OF_UNIT[unit]
    grams = _is_round(division_mg, Fraction(1_000))
    ounces, pounds = _is_round(division_mg, MG_PER_OUNCE), _is_round(division_mg, MG_PER_POUND)
    if units is DisplayUnits.METRIC:
        if grams or not (ounces or pounds):
            return units
        return DisplayUnits.US_POUND_OUNCE if ounces else DisplayUnits.US
    return DisplayUnits.METRIC if grams and not (ounces or pounds) else units


def _is_round(division_mg: int, unit_mg: Fraction) -> bool:
    """Whether a division, rounded to the milligram, is one, two or five of a decimal place of a unit."""
    steps = (unit_mg * count / 10**places for count in (1, 2, 5) for places in range(6))
    return any(abs(step - division_mg) <= Fraction(ROUNDING_MG, 2) for step in steps)
