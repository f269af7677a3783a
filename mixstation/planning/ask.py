"""One question of a planning talk: what may be answered, how an answer is read, and how it is said."""

from collections.abc import Mapping
from fractions import Fraction
from typing import assert_never

from mixstation.frozen import Frozen
from mixstation.planning.around import Around
from mixstation.station.view import EntryKind
from mixstation.units import show
from mixstation.units.parse import (
    parse_fraction,
    parse_length_mm,
    parse_mass_mg,
    parse_temperature_c,
    parse_volume_ml,
)
from mixstation.units.show_mass import show_mass
from mixstation.wording import planning as words

Given = Fraction | int | str | None
"""An answer: mm, mL, mg, °C or a part of one as a fraction; a count; the key of a line; None for left out."""

MOST_LINES_COUNT = 9
"""A choice is one digit of the number pad. Source: Definition."""


_UNITS: Mapping[EntryKind, tuple[str, str]] = {
    "length": ("mm", "in"),
    "volume": ("L", "US gal"),
    "mass": ("kg", "lb"),
    "temperature": ("°C", "°F"),
    "percent": ("%", "%"),
}


class NotTaken(ValueError):  # noqa: N818 - a refusal, with its sentence
    """An answer that cannot be taken; its text says why and what to do."""


class Ask(Frozen):
    """A question.

    Attributes:
        entry: What is typed; "whole" with lines for a choice.
        lines: What may be chosen, words by value; empty for what is typed.
        default: What Enter alone takes; None for left out.
        needed: It has no default: something must be typed.
        none_words: What Enter alone means where the default is None or nought.
    """

    key: str
    ask: str
    entry: EntryKind
    detail: tuple[str, ...] = ()
    lines: Mapping[str, str] | None = None
    default: Given = None
    needed: bool = False
    least: Fraction = Fraction(0)
    most: Fraction = Fraction(0)
    none_words: str = ""


def unit_of(entry: EntryKind, units: show.DisplayUnits) -> str:
    """Key of the unit of a bare typed number; "" for what has none."""
    return _UNITS.get(entry, ("", ""))[0 if units is show.DisplayUnits.METRIC else 1]


def said(ask: Ask, value: Given, units: show.DisplayUnits) -> str:
    """An answer in words."""
    if isinstance(value, str):
        return (ask.lines or {}).get(value, value)
    if value is None or (not value and ask.none_words):
        return ask.none_words or words.NOT_KNOWN
    return quantity(ask.entry, Fraction(value), units)


def quantity(entry: EntryKind, value: Fraction, units: show.DisplayUnits) -> str:
    """A typed quantity with its unit, as the person reads it."""
    match entry:
        case "length":
            return show.show_length_mm(value, units)
        case "volume":
            return show.show_volume_ml(value, units)
        case "mass":
            return show_mass(round(value), units)
        case "temperature":
            return show.show_temperature_c(value, units)
        case "percent":
            return show.show_percent(value, 2)
        case "whole" | "text" | "minutes" | "none":
            return show.trimmed(value, 3)
        case _ as forgotten:
            assert_never(forgotten)


def taken(ask: Ask, typed: str, lines: Mapping[str, str], around: Around) -> Given:
    """What a typed answer means.

    Args:
        typed: As typed, cleaned; "" for Enter alone.
        lines: The lines on screen, for a choice.

    Raises:
        NotTaken: It is no answer to this question.
        UnitsError: It cannot be read.
    """
    text = typed.strip()
    if not text:
        if ask.needed:
            raise NotTaken(words.NOTHING_TYPED)
        return ask.default
    if ask.lines is not None:
        numbers = {str(number): value for number, value in enumerate(lines, start=1)}
        if text not in numbers:
            raise NotTaken(words.NOT_A_CHOICE)
        return numbers[text]
    if ask.entry == "whole":
        value = Fraction(int(text)) if text.isascii() and text.isdigit() and len(text) <= 6 else Fraction(-1)
        if not ask.least <= value <= ask.most:
            raise NotTaken(
                words.NOT_WHOLE.format(least=show.trimmed(ask.least, 0), most=show.trimmed(ask.most, 0))
            )
        return int(value)
    value = _read(ask.entry, text, around)
    if not ask.least <= value <= ask.most:
        found, least, most = (
            quantity(ask.entry, each, around.units) for each in (value, ask.least, ask.most)
        )
        raise NotTaken(words.OUT_OF_RANGE.format(found=found, least=least, most=most))
    return value


def _read(entry: EntryKind, text: str, around: Around) -> Fraction:
    unit, comma = unit_of(entry, around.units), around.decimal_comma
    match entry:
        case "length":
            return parse_length_mm(text, unit, comma_is_decimal=comma)
        case "volume":
            return parse_volume_ml(text, unit, comma_is_decimal=comma)
        case "mass":
            return Fraction(parse_mass_mg(text, unit, comma_is_decimal=comma))
        case "temperature":
            return parse_temperature_c(text, unit, comma_is_decimal=comma)
        case "percent":
            bare = not any(sign in text for sign in "%/") and not any(sign.isalpha() for sign in text)
            return parse_fraction(f"{text} %" if bare else text, comma_is_decimal=comma)
        case "whole" | "text" | "minutes" | "none":
            raise ValueError(entry)
        case _ as forgotten:
            assert_never(forgotten)
