"""Printing masses to what the scale can show."""

from fractions import Fraction
from functools import lru_cache
from typing import assert_never

from mixstation.frozen import Frozen
from mixstation.units.show import DisplayUnits, fixed, trimmed
from mixstation.units.tables import UNITS_BY_KEY

UNIT_WORDS = {
    "mg": "milligrams",
    "g": "grams",
    "kg": "kilograms",
    "t": "tonnes",
    "lb": "pounds",
    "oz": "ounces",
}
MAX_PLACES = 6
_MG_PER_KG = 1_000_000


class MassShown(Frozen):
    """A mass for the big digits.

    Attributes:
        number: The digits; "2 lb 3.5 oz" when pounds and ounces are both shown.
        unit: The unit's sign, "" when the number carries its own.
        unit_word: The unit in words.
    """

    number: str
    unit: str
    unit_word: str


def show_mass(mass_mg: int, units: DisplayUnits, division_mg: int | Fraction | None = None) -> str:
    """A mass with its unit, never with more digits than the division supports.

    Args:
        mass_mg: Mass in mg.
        units: What the person reads in.
        division_mg: Smallest step of the scale in mg, above 0: the last decimal printed is the division's own
            first digit (5 g in kg: three decimals); the value is not moved to a multiple of it. None: 1 g from
            1 kg on, 0.1 g from 10 g, else 1 mg, with no zeros at the end.

    Returns:
        Number and unit; `parse_mass_mg` reads it back to within one division.

    Source: Choice: digits a scale cannot show are not knowledge.

    Example:
        >>> show_mass(6_400_000, DisplayUnits.METRIC, division_mg=5_000)
        '6.400 kg'
        >>> show_mass(1_006_408, DisplayUnits.US_POUND_OUNCE)
        '2 lb 3.5 oz'
    """
    shown = show_mass_parts(mass_mg, units, division_mg)
    return f"{shown.number} {shown.unit}".rstrip(" ")


@lru_cache(maxsize=512)
def show_mass_parts(
    mass_mg: int, units: DisplayUnits, division_mg: int | Fraction | None = None
) -> MassShown:
    """A mass as digits and the unit in words, as `show_mass` prints it.

    Returns:
        Metric: grams below one kilogram, else kilograms. US: pounds. Pounds and ounces: ounces below one pound.

    Source: Choice: see `show_mass`.

    Example:
        >>> show_mass_parts(850_000, DisplayUnits.METRIC, division_mg=1_000)
        MassShown(number='850', unit='g', unit_word='grams')
    """
    match units:
        case DisplayUnits.METRIC:
            grams = show_mass_in(mass_mg, "g", division_mg)
            is_below_1_kg = abs(Fraction(grams.number)) < 1_000
            return grams if is_below_1_kg else show_mass_in(mass_mg, "kg", division_mg)
        case DisplayUnits.US:
            return show_mass_in(mass_mg, "lb", division_mg)
        case DisplayUnits.US_POUND_OUNCE:
            ounces = show_mass_in(mass_mg, "oz", division_mg)
            pounds, rest = divmod(abs(Fraction(ounces.number)), 16)
            if not pounds:
                return ounces
            sign = "-" if mass_mg < 0 else ""
            places = len(ounces.number.partition(".")[2])
            number = f"{sign}{pounds} lb {fixed(rest, places)} oz"
            return MassShown(number=number, unit="", unit_word="pounds and ounces")
        case _ as forgotten:
            assert_never(forgotten)


@lru_cache(maxsize=512)
def show_mass_in(mass_mg: int, unit: str, division_mg: int | Fraction | None = None) -> MassShown:
    """A mass in one given unit of mass, by its key, such as the one the scale itself shows.

    Source: Choice: see `show_mass`.

    Example:
        >>> show_mass_in(850_000, "kg", division_mg=2_000).number
        '0.850'
    """
    unit_mg = UNITS_BY_KEY[unit].factor
    step_mg = _free_division_mg(mass_mg) if division_mg is None else division_mg
    # A division in lb or oz was rounded to the milligram, so half of one is allowed for.
    places = next((p for p in range(MAX_PLACES) if unit_mg / 10**p <= step_mg + Fraction(1, 2)), MAX_PLACES)
    write = trimmed if division_mg is None else fixed
    return MassShown(number=write(mass_mg / unit_mg, places), unit=unit, unit_word=UNIT_WORDS[unit])


def default_mass_unit(
    units: DisplayUnits, shown_mg: int | None = None, division_mg: int | Fraction | None = None
) -> str:
    """The unit in which a bare typed number is read: the one the person sees.

    Args:
        units: What the person reads in.
        shown_mg: The mass on screen that the number answers, in mg; None if there is none.
        division_mg: As for `show_mass`.

    Returns:
        Key of the unit: "lb" in both US styles, but "oz" where only ounces are shown; metric "kg", but "g" where
        grams are shown.

    Source: Choice: "850" typed under "850 g" is grams.

    Example:
        >>> default_mass_unit(DisplayUnits.METRIC, shown_mg=850_000)
        'g'
    """
    if shown_mg is not None:
        return show_mass_parts(shown_mg, units, division_mg).unit or "lb"
    return "kg" if units is DisplayUnits.METRIC else "lb"


def _free_division_mg(mass_mg: int) -> int:
    """A step fine enough for any scale that would weigh the mass in this trade."""
    if abs(mass_mg) >= _MG_PER_KG:
        return 1_000
    return 100 if abs(mass_mg) >= 10_000 else 1
