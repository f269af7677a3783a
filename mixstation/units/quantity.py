"""One typed quantity: a forward scan into numbers and units, then their exact sum.

No patterns and no backtracking, so that any text of at most 1,000 characters costs a bounded time.
"""

import difflib
import string
from fractions import Fraction

from mixstation.frozen import Frozen
from mixstation.units import errors as of
from mixstation.units.errors import UnitsError
from mixstation.units.numbers import DIGITS, MAX_TEXT_LENGTH, read_mixed_number, read_number
from mixstation.units.tables import (
    COMPOUNDS,
    QUESTIONS,
    UNITS_BY_KEY,
    UNITS_BY_SPELLING,
    VULGAR_DIMENSIONS,
    Dimension,
    Unit,
    normal_spelling,
)

# Word processors and typeset tables put these before a unit.
_SPACES = str.maketrans({"\u00a0": " ", "\u2009": " ", "\u202f": " "})
_NUMBER_CHARACTERS = DIGITS | frozenset(".,/")
_VULGAR_CHARACTERS = DIGITS | frozenset("/")
_KNOWN_CHARACTERS = _NUMBER_CHARACTERS.union(" ", string.ascii_letters, *UNITS_BY_SPELLING)
_MAX_PART_COUNT = max(len(compound) for compound in COMPOUNDS)
_MAX_SUGGESTED_LENGTH = 24


class _Part(Frozen):
    """One number as typed with its unit in the table's spelling, "" if none was typed."""

    number: str
    spelling: str


def read_quantity(
    text: str, dimension: Dimension, default: str | None, *, comma_is_decimal: bool = False
) -> Fraction:
    """Read a quantity of one dimension.

    Args:
        text: What was typed.
        dimension: What is wanted.
        default: Key of the unit of a bare number; None asks for one (a bare share is the fraction itself).
        comma_is_decimal: A comma is known to be a decimal mark.

    Returns:
        The quantity in the dimension's base unit (see `tables`), exact.

    Raises:
        UnitsError: With a fault of `errors`.

    Source: Choice: refuse or ask rather than guess.

    Example:
        >>> read_quantity("2 ft 3 in", "length", None)
        Fraction(3429, 5)
    """
    if len(text) > MAX_TEXT_LENGTH:
        raise UnitsError(of.TooLong(length_count=len(text), limit_count=MAX_TEXT_LENGTH))
    found = text.translate(_SPACES).strip(" ")
    if not found:
        raise UnitsError(of.Nothing())
    is_negative = found[0] == "-"
    parts = _split(found[1:] if found[0] in "+-" else found, found)
    units = [_unit(part, dimension, default if len(parts) == 1 else None, found) for part in parts]
    if len(parts) > 1:
        _check_compound(units, dimension, found)
    total = Fraction(0)
    for index, (part, unit) in enumerate(zip(parts, units, strict=True)):
        read = read_mixed_number if dimension in VULGAR_DIMENSIONS else read_number
        value = read(part.number, comma_is_decimal=comma_is_decimal)
        if index < len(parts) - 1 and value.denominator != 1:
            raise UnitsError(of.UnitNotWhole(found=found, unit=unit.key))
        if index > 0 and value * unit.factor >= units[index - 1].factor:
            limit_count = int(units[index - 1].factor / unit.factor)
            raise UnitsError(of.PartTooLarge(found=found, unit=unit.key, limit_count=limit_count))
        total += ((-value if is_negative else value) - unit.offset) * unit.factor
    return total


def _split(unsigned: str, found: str) -> list[_Part]:
    """Cut a text without its sign into numbers, each with what follows it up to the next number."""
    for character in unsigned:
        if character not in _KNOWN_CHARACTERS:
            # A second sign is part of a misspelt number, not a stray character.
            if character in "+-":
                raise UnitsError(of.BadNumber(found=found))
            raise UnitsError(of.BadCharacter(found=found, character=character))
    parts: list[_Part] = []
    end = len(unsigned)
    at = 0
    while at < end:
        number_end = _number_end(unsigned, at)
        if number_end == at or len(parts) == _MAX_PART_COUNT:
            raise UnitsError(of.BadNumber(found=found))
        unit_end = number_end
        while unit_end < end and unsigned[unit_end] not in DIGITS:
            unit_end += 1
        if unit_end < end and unsigned[unit_end - 1] in ".,/":
            raise UnitsError(of.BadNumber(found=found))
        spelling = normal_spelling(unsigned[number_end:unit_end])
        # The 3 of m3 and ft3 ends the text; elsewhere a digit begins the next number ("2ft3in").
        is_last_digit = unit_end == end - 1 and unsigned[unit_end - 1] != " "
        if is_last_digit and spelling + unsigned[-1] in UNITS_BY_SPELLING:
            spelling += unsigned[-1]
            unit_end = end
        if not spelling and unit_end < end:
            raise UnitsError(of.BadNumber(found=found))
        parts.append(_Part(number=unsigned[at:number_end], spelling=spelling))
        at = unit_end
    if not parts:
        raise UnitsError(of.BadNumber(found=found))
    return parts


def _number_end(text: str, start: int) -> int:
    """Where the number that starts here ends, a vulgar fraction after a space included."""
    at = _run_end(text, start, _NUMBER_CHARACTERS)
    fraction_start = _run_end(text, at, frozenset(" "))
    fraction_end = _run_end(text, fraction_start, _VULGAR_CHARACTERS)
    return fraction_end if at > start and "/" in text[fraction_start:fraction_end] else at


def _run_end(text: str, start: int, characters: frozenset[str]) -> int:
    at = start
    while at < len(text) and text[at] in characters:
        at += 1
    return at


_USUAL: dict[Dimension, str] = {
    "mass": "kg",
    "volume": "L",
    "length": "mm",
    "temperature": "°C",
    "time": "s",
    "share": "%",
    "density": "kg/m3",
    "speed": "km/h",
}
"""What is suggested where nothing typed comes near a unit."""


def _unit(part: _Part, dimension: Dimension, default: str | None, found: str) -> Unit:
    """The unit of one part, or the error that says why there is none."""
    spelling = part.spelling
    if not spelling:
        if default is not None:
            return UNITS_BY_KEY[default]
        if dimension == "share":
            return Unit(key="", dimension="share", factor=Fraction(1))
        raise UnitsError(of.UnitMissing(found=found, wanted=dimension, suggestion=_USUAL[dimension]))
    question = QUESTIONS.get((dimension, spelling))
    if question:
        raise UnitsError(question.kind(unit=spelling, choices=", ".join(question.choices)))
    unit = UNITS_BY_SPELLING.get(spelling)
    if unit and unit.dimension == dimension:
        return unit
    suggestion = _nearest(spelling, dimension) or _USUAL[dimension]
    other = unit.dimension if unit else next((asked for asked, name in QUESTIONS if name == spelling), None)
    if other:
        raise UnitsError(
            of.WrongDimension(
                found=found, unit=spelling, dimension=other, wanted=dimension, suggestion=suggestion
            )
        )
    raise UnitsError(of.UnknownUnit(unit=spelling, suggestion=suggestion))


def _nearest(spelling: str, dimension: Dimension) -> str:
    """The unit whose spelling is nearest to a wrong one, "" if none is near; a bare "gallon" stays bare."""
    if len(spelling) > _MAX_SUGGESTED_LENGTH:
        return ""
    keys = {known: unit.key for known, unit in UNITS_BY_SPELLING.items() if unit.dimension == dimension}
    keys |= {asked: asked for asked_dimension, asked in QUESTIONS if asked_dimension == dimension}
    near = difflib.get_close_matches(spelling, keys, n=1, cutoff=0.5)
    return keys[near[0]] if near else ""


def _check_compound(units: list[Unit], dimension: Dimension, found: str) -> None:
    """Refuse units that do not follow one another from large to small."""
    keys = [unit.key for unit in units]
    for compound in COMPOUNDS:
        if keys == [key for key in compound if key in keys]:
            return
    raise UnitsError(of.BadCompound(found=found, wanted=dimension))
