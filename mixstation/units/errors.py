"""What can be wrong with a typed quantity; the sentences are in `mixstation/wording/quantity_lines.py`."""

from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any, TypeVar

from mixstation.coded import Coded
from mixstation.frozen import Frozen
from mixstation.units.clean import clean

_LONGEST_VALUE = 60
_Told = TypeVar("_Told")


class Nothing(Coded, code="empty"):
    """Nothing was typed."""


class TooLong(Coded, code="too-long"):
    """More was typed than any quantity needs."""

    length_count: int
    limit_count: int


class OfTyped(Coded):
    """What is told with the text it is about.

    Attributes:
        found: What was typed.
    """

    found: str


class BadCharacter(OfTyped, code="bad-character"):
    """A sign that stands in no quantity."""

    character: str


class BadNumber(OfTyped, code="bad-number"):
    """No number."""


class TooManyDigits(OfTyped, code="too-many-digits"):
    """More digits than are read, before the mark or after it."""

    whole_limit_count: int
    decimal_limit_count: int


class BadFraction(OfTyped, code="bad-fraction"):
    """No proper fraction, or one of too many digits."""


class BadCompound(OfTyped, code="bad-compound"):
    """Units that do not follow one another from large to small."""

    wanted: str


class AmbiguousThousands(OfTyped, code="ambiguous-thousands"):
    """A comma that can be a decimal mark or can part the thousands."""

    as_decimal: str
    as_thousands: str


class UnitMissing(OfTyped, code="unit-missing"):
    """A number alone."""

    wanted: str
    suggestion: str


class UnknownUnit(Coded, code="unknown-unit"):
    """A unit not known here."""

    unit: str
    suggestion: str


class WrongDimension(OfTyped, code="wrong-dimension"):
    """A unit of something else than is asked for."""

    unit: str
    dimension: str
    wanted: str
    suggestion: str


class WhichUnit(Coded):
    """A spelling that can be one of several units.

    Attributes:
        unit: As it was typed.
        choices: What it can be.
    """

    unit: str
    choices: str


class WhichGallon(WhichUnit, code="which-gallon"):
    """A gallon, or a part of one, of no country."""


class WhichTon(WhichUnit, code="which-ton"):
    """A ton, short, long or metric."""


class WhichOunce(WhichUnit, code="oz-is-mass-or-volume"):
    """An ounce where a volume is asked for."""


class UnitNotWhole(OfTyped, code="not-whole"):
    """A part that is no whole number, with a smaller unit after it."""

    unit: str


class PartTooLarge(OfTyped, code="part-too-large"):
    """A part that fills the unit before it."""

    unit: str
    limit_count: int


class NotPlausible(OfTyped, code="not-plausible"):
    """Outside the range of what is asked for.

    Attributes:
        name: What is asked for.
        bounds: What it can be.
    """

    name: str
    bounds: str


UnitsFault = (
    Nothing
    | TooLong
    | BadCharacter
    | BadNumber
    | TooManyDigits
    | BadFraction
    | BadCompound
    | AmbiguousThousands
    | UnitMissing
    | UnknownUnit
    | WrongDimension
    | WhichGallon
    | WhichTon
    | WhichOunce
    | UnitNotWhole
    | PartTooLarge
    | NotPlausible
)


class UnitsError(ValueError):
    """A quantity that cannot be read.

    Attributes:
        fault: What is wrong, its texts cleaned.
    """

    def __init__(self, fault: UnitsFault) -> None:
        """Keep what is wrong."""
        self.fault = cleaned(fault, _LONGEST_VALUE)
        super().__init__(
            ", ".join([self.code, *(f"{name}={value!r}" for name, value in self.values.items())])
        )

    @property
    def code(self) -> str:
        """Its short name."""
        return self.fault.code

    @property
    def values(self) -> Mapping[str, str]:
        """The values as texts, by name."""
        return {field.name: str(getattr(self.fault, field.name)) for field in fields(self.fault)}


def cleaned(told: _Told, limit: int) -> _Told:
    """A value with its texts made safe; what is no value with fields stays as it is. Source: `clean`.

    Args:
        limit: Longest text, in characters.
    """
    value: Any = told
    if not isinstance(told, Frozen):
        return told
    given = {field.name: getattr(value, field.name) for field in fields(value)}
    texts = {name: clean(text, limit) for name, text in given.items() if isinstance(text, str)}
    cleaned_told: _Told = replace(value, **texts)
    return cleaned_told
