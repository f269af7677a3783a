"""The fields of a profile from its file: what each kind may hold."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, Final, get_args

from mixstation.scale import fields
from mixstation.scale.faults import InsteadWithoutFault, MeaningUnknown, TextCount
from mixstation.scale.reading import Fault
from mixstation.toml.faults_of_files import BadValue, OutOfRange
from mixstation.toml.quantities import (
    QuantityError,
    count,
    line_bytes,
    none_of,
    one_of,
    true_or_false,
    written,
)
from mixstation.toml.table import Key, Keys, Table, TableKey

SCALE_UNITS: Final = ("kg", "g", "lb", "oz")
MAX_BYTE_COUNT: Final = 200

_MEANINGS: Final[Mapping[str, str]] = {
    **dict.fromkeys(("steady", "moving"), "motion"),
    **dict.fromkeys(get_args(Fault), "fault"),
    **dict.fromkeys(("net", "gross"), "tare_mark"),
}
_MAX_WIDTH: Final = 32
_MAX_TEXT_COUNT: Final = 32


def meaning(value: object) -> fields.Meaning:
    """Reader of what a text stands for, none or several words: "steady net"."""
    parts: dict[str, Any] = {}
    for word in written(value).split():
        if word not in _MEANINGS:
            raise QuantityError(none_of(word, _MEANINGS, MeaningUnknown))
        parts[_MEANINGS[word]] = word
    return fields.Meaning(**parts)


def _line_text(value: object) -> str:
    return line_bytes(MAX_BYTE_COUNT)(value).decode("latin-1")


_SPACE_COUNT = Key(read=count(0, _MAX_WIDTH), example="1", optional=True)
_FLAG = Key(read=true_or_false, example="true", optional=True)
_KINDS: Final[Mapping[str, tuple[Callable[..., fields.Field], Keys]]] = {
    "literal": (fields.LiteralField, {"text": Key(read=_line_text, example='","')}),
    "choice": (fields.ChoiceField, {"of": TableKey(example='of = {S = "steady", M = "moving"}')}),
    "sign": (fields.SignField, {"may_be_absent": _FLAG}),
    "number": (
        fields.NumberField,
        {
            "width": Key(read=count(1, _MAX_WIDTH), example="8", optional=True),
            "decimal_mark": Key(read=one_of(*get_args(fields.DecimalMark)), example='"."', optional=True),
            "pad": Key(read=one_of(" ", "0"), example='" "', optional=True),
            "signed": _FLAG,
            "instead": TableKey(example='instead = {OL = "overload"}', optional=True),
        },
    ),
    "unit": (fields.UnitField, {"of": TableKey(example='of = {"kg" = "kg", "lb" = "lb"}')}),
    "spaces": (fields.SpacesField, {"least": _SPACE_COUNT, "most": _SPACE_COUNT}),
    "skip": (fields.SkipField, {"count": Key(read=count(1, _MAX_WIDTH), example="1")}),
    "check": (
        fields.CheckField,
        {
            "method": Key(read=one_of(*get_args(fields.CheckMethod)), example='"xor"'),
            "form": Key(read=one_of("byte", "hex"), example='"byte"', optional=True),
            "first": Key(read=count(0, _MAX_WIDTH), example="1", optional=True),
            "leave_out": Key(read=count(0, 4), example="1", optional=True),
        },
    ),
}
"""Each kind of field, with what it may hold; see `mixstation.scale.fields` for what it means."""

FIELD_KEYS: Final[Mapping[str, Keys]] = {kind: keys for kind, (_, keys) in _KINDS.items()}
_KIND: Final[Keys] = {"kind": Key(read=one_of(*_KINDS), example='"number"')}
# Where no mark is sent, and only there, it must be said how many digits stand after it.
_DECIMALS: Final[Keys] = {"decimals": Key(read=count(0, fields.MAX_DECIMAL_COUNT), example="3")}
_MEANING = Key(read=meaning, example='"steady"')
_UNIT = Key(read=one_of(*SCALE_UNITS), example='"kg"')


def read_field(table: Table, *, is_text: bool) -> fields.Field | None:
    """One field; None where anything was wrong.

    Args:
        table: With `kind` and the keys of that kind; what is wrong with it is noted there.
        is_text: Whether only seven bits of each character arrive.
    """
    more = _DECIMALS if table.content.get("decimal_mark") == "none" else {}
    kind = table.read_kind("kind", {**FIELD_KEYS, "number": {**FIELD_KEYS["number"], **more}}, _KIND)
    values = {key: value for key, value in table.values.items() if key != "kind"}
    for key in values.keys() & {"of", "instead"}:
        values[key] = _texts(values[key], _UNIT if kind == "unit" else _MEANING)
    if kind == "number":
        values["instead"] = _instead(table, values.get("instead", {}))
    elif kind == "spaces":
        values = _spaces(table, values)
    elif kind == "check":
        values["seven_bits"] = is_text
    return _KINDS[kind][0](**values) if table.is_sound else None


def _texts(table: Table, key: Key) -> Mapping[str, Any]:
    """A table whose keys are texts that a frame can hold, each value read by the same key."""
    if not 0 < len(table.content) <= _MAX_TEXT_COUNT:
        count_of = TextCount(found_count=len(table.content), least_count=1, most_count=_MAX_TEXT_COUNT)
        table.fault(None, count_of)
    for text in table.content:
        if any(ord(character) > 0xFF for character in text):
            table.fault(text, BadValue(code="not-latin", found=text))
    return MappingProxyType(table.read(dict.fromkeys(table.content, key)))


def _instead(table: Table, instead: Mapping[str, fields.Meaning]) -> Mapping[str, fields.Meaning]:
    for text, stands_for in instead.items():
        # Without one, a frame that shows no digits would read as zero.
        if stands_for.fault is None:
            table.fault("instead", InsteadWithoutFault(found=text, choices=", ".join(get_args(Fault))))
    return MappingProxyType({text.strip(" "): stands_for for text, stands_for in instead.items()})


def _spaces(table: Table, values: Mapping[str, int]) -> dict[str, int]:
    least = values.get("least", 1)
    fewest = max(1, least)
    most = values.get("most", fewest)
    if most < fewest:
        table.fault("most", OutOfRange(found=str(most), bounds=f"from {fewest} to {_MAX_WIDTH}"))
    return {"least": least, "most": most}
