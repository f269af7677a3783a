"""The one way a sentence is made of a flag, a refusal or a fault: a template whose names are fields of the object.

Each value is said by the end of its field's name, which is its unit. What stands after a colon says it otherwise:

    {dose_mg}               a mass in the steps of its scale; `:fine` with more digits, `:rough` to 100 g
    {ratio:from most_ratio} a ratio with as many decimals as tell it from another field
    {over_l}                a volume; `:some` never as nothing
    {cap_fraction}          percent; `:0` says how many decimals
    {since_s:min}           whole minutes
    {found_l:plain}         the bare figure, to two decimals; `:g` to six figures; of a text as it stands
    {open_count:check is|checks are}  a count with its noun, one or more
    {material}, {step}      the recipe's name, the step in words
"""

from collections.abc import Mapping
from dataclasses import field
from fractions import Fraction
from string import Formatter
from typing import Protocol

from mixstation.frozen import Frozen
from mixstation.units.clean import clean
from mixstation.units.show import (
    DisplayUnits,
    show_density,
    show_duration,
    show_length_mm,
    show_percent,
    show_ratio,
    show_temperature_c,
    show_volume_l,
    show_volume_ml,
    trimmed,
)
from mixstation.units.show_mass import show_mass

Value = str | int | float | Fraction

BASIS_WORDS = {
    "cement": "cement",
    "binder": "cement and pozzolan",
    "powder": "dry powder",
    "total": "the whole mix",
}

_LONGEST_TEXT = 400
# Smallest volume that is not shown as nothing.
_LEAST_L = Fraction(1, 100)
# A back feels no grams, whatever the scale shows.
_ROUGH_MG = 100_000


class Voice(Protocol):
    """What a sentence needs to know of who reads it and of what is spoken."""

    @property
    def units(self) -> DisplayUnits:
        """What the person reads in."""

    def mass(self, mass_mg: int | Fraction) -> str:
        """A mass in the steps of the scale it is of."""

    def name(self, key: str) -> str:
        """The recipe's name of a material."""

    def step(self, key: str) -> str:
        """A step in words."""


class Plainly(Frozen):
    """Speaking of no batch, with what names there are.

    Attributes:
        units: What the person reads in.
        names: Material names by key.
    """

    units: DisplayUnits = DisplayUnits.METRIC
    names: Mapping[str, str] = field(default_factory=dict)

    def mass(self, mass_mg: int | Fraction, division_mg: int | None = None) -> str:
        """A mass with its unit, to a division where one is given."""
        return show_mass(round(mass_mg), self.units, division_mg)

    def name(self, key: str) -> str:
        """A material's name; the key itself where there is none."""
        return clean(self.names.get(key, key), 60)

    def step(self, key: str) -> str:
        """A step by its key."""
        return clean(key, 60)


def spoken(template: str, of: object, voice: Voice, **also: str) -> str:
    """A sentence.

    Args:
        template: Its words, with fields of the object in braces.
        of: What is spoken of, a value; a kind that needs none may stand for itself.
        voice: How it is said.
        **also: Words for names that are no field.

    Raises:
        AttributeError: A name that is neither a field nor among the words.
        ValueError: A field whose name has no unit's end that is known.
    """
    parts: list[str] = []
    for text, name, form, _ in Formatter().parse(template):
        parts.append(text)
        if name is not None:
            parts.append(also[name] if name in also else _said(of, name, form or "", voice))
    return "".join(parts)


def told_apart(ratio: Fraction, limit: Fraction) -> tuple[str, str]:
    """A ratio and a bound it has passed, with as many decimals as tell them apart."""
    shown = ((show_ratio(ratio, places), show_ratio(limit, places)) for places in (3, 4, 5))
    return next((pair for pair in shown if pair[0] != pair[1]), (show_ratio(ratio), show_ratio(limit)))


def _said(of: object, name: str, form: str, voice: Voice) -> str:
    value: Value = getattr(of, name)
    if isinstance(value, str):
        return clean(value, _LONGEST_TEXT) if form == "plain" else _text(name, value, voice)
    if form == "g":
        return f"{float(value):g}"
    number = Fraction(value)
    if form.startswith("from "):
        return told_apart(number, Fraction(getattr(of, form.removeprefix("from "))))[0]
    if form == "plain":
        return trimmed(number, 2)
    if name.endswith("_mg"):
        return _mass(name, number, form, voice)
    ending = "milli_c" if name.endswith("milli_c") else name.rpartition("_")[2]
    return _number(ending, number, form, voice.units)


def _text(name: str, value: str, voice: Voice) -> str:
    match name:
        case "material":
            return voice.name(value)
        case "step":
            return voice.step(value)
        case "basis":
            return BASIS_WORDS[value]
        case "path" | "detail":
            return clean(value, 300)
        case _:
            return clean(value, _LONGEST_TEXT)


def _mass(name: str, mass_mg: Fraction, form: str, voice: Voice) -> str:
    if form == "rough":
        return show_mass(round(mass_mg), voice.units, _ROUGH_MG)
    if form == "fine":
        return show_mass(round(mass_mg), voice.units)
    return show_mass(round(mass_mg), voice.units, mass_mg) if name == "division_mg" else voice.mass(mass_mg)


def _number(ending: str, number: Fraction, form: str, units: DisplayUnits) -> str:
    match ending:
        case "ratio":
            return show_ratio(number)
        case "fraction":
            return show_percent(number, int(form or 1))
        case "milli_c":
            return show_temperature_c(number / 1000, units)
        case "c":
            return show_temperature_c(number, units)
        case "s":
            return f"{int(number) // 60}" if form == "min" else show_duration(number)
        case "min":
            return f"{round(number)} min"
        case "mm":
            return show_length_mm(Fraction(round(number * 10_000), 10_000), units)
        case "l":
            return show_volume_l(max(number, _LEAST_L) if form == "some" else number, units)
        case "seq" | "line":
            return str(int(number))
        case "ul":
            return show_volume_ml(number / 1000, units)
        case "m3":
            return show_density(float(number), units)
        case "count" | "number":
            one, _, more = form.partition("|")
            return f"{int(number)} {one if number == 1 else more}".rstrip()
        case _:
            raise ValueError(ending)
