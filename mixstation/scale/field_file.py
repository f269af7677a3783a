"""The fields of a profile from its file.

Kinds and their keys (what may be left out in brackets):

    literal  text                                    always the same characters
    choice   of = {text = "meanings"}                meanings: steady moving overload underload error net gross
    sign     [may_be_absent]                         "-", or "+" or a space
    number   [width] [decimal_mark] [decimals]       without a width, as many digits as come; decimal_mark is
             [pad] [signed] [instead]                "." "," "either" or "none" (then decimals);
                                                      instead = {text = "fault"}
    unit     of = {text = "unit"}                    kg g lb oz
    spaces   [least] [most]
    skip     count                                   characters that say nothing
    check    method [form] [first] [leave_out]       xor, sum or negated-sum, as a byte or two hex digits

Fault codes and their values, besides those of `profile_table`: "meaning-unknown" (key, found, suggestion, choices);
"text-count" (key, found, least, most); "instead-without-fault" (key, found, choices).
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, Final, cast, get_args

from mixstation.scale.fields import (
    MAX_DECIMAL_COUNT,
    CheckField,
    CheckMethod,
    ChoiceField,
    DecimalMark,
    Field,
    LiteralField,
    Meaning,
    NumberField,
    SignField,
    SkipField,
    SpacesField,
    UnitField,
)
from mixstation.scale.profile_table import Table
from mixstation.scale.reading import Fault
from mixstation.toml_lines import suggestion

SCALE_UNITS: Final = ("kg", "g", "lb", "oz")

_MEANINGS: Final[Mapping[str, str]] = {
    **dict.fromkeys(("steady", "moving"), "motion"),
    **dict.fromkeys(get_args(Fault), "fault"),
    **dict.fromkeys(("net", "gross"), "tare_mark"),
}
_MAX_WIDTH: Final = 32
_MAX_TEXT_COUNT: Final = 32


def read_field(table: Table, *, is_text: bool) -> Field:
    """One field; what is wrong with it is noted in the table's document.

    Args:
        table: With `kind` and the keys of that kind.
        is_text: Whether only seven bits of each character arrive.
    """
    kind = table.one_of("kind", tuple(_KINDS))
    if not kind:
        return SkipField(count=1)
    field = _KINDS[kind](table, is_text)
    table.close()
    return field


def _literal(table: Table, _: bool) -> Field:
    return LiteralField(text=table.line_bytes("text", example='text = ","').decode("latin-1"))


def _choice(table: Table, _: bool) -> Field:
    return ChoiceField(of=_meanings(table, "of", example='of = {S = "steady", M = "moving"}'))


def _sign(table: Table, _: bool) -> Field:
    return SignField(may_be_absent=table.flag("may_be_absent", default=False))


def _number(table: Table, _: bool) -> Field:
    mark = cast("DecimalMark", table.one_of("decimal_mark", get_args(DecimalMark), "."))
    instead = _meanings(table, "instead")
    for text, meaning in instead.items():
        # Without one, a frame that shows no digits would read as zero.
        if meaning.fault is None:
            table.fault("instead", "instead-without-fault", found=text, choices=", ".join(get_args(Fault)))
    return NumberField(
        width=table.whole("width", 1, _MAX_WIDTH, 0),
        decimal_mark=mark,
        decimals=table.whole("decimals", 0, MAX_DECIMAL_COUNT) if mark == "none" else 0,
        pad=table.one_of("pad", (" ", "0"), " "),
        signed=table.flag("signed", default=False),
        instead=MappingProxyType({text.strip(" "): meaning for text, meaning in instead.items()}),
    )


def _unit(table: Table, _: bool) -> Field:
    inner = table.table("of", example='of = {"kg" = "kg", "lb" = "lb"}')
    of = {text: inner.one_of(text, SCALE_UNITS) for text in _texts(inner) if inner}
    return UnitField(of=MappingProxyType(of))


def _spaces(table: Table, _: bool) -> Field:
    least = table.whole("least", 0, _MAX_WIDTH, 1)
    return SpacesField(least=least, most=table.whole("most", max(1, least), _MAX_WIDTH, max(1, least)))


def _skip(table: Table, _: bool) -> Field:
    return SkipField(count=table.whole("count", 1, _MAX_WIDTH))


def _check(table: Table, is_text: bool) -> Field:
    return CheckField(
        method=cast("CheckMethod", table.one_of("method", get_args(CheckMethod))),
        form=cast("Any", table.one_of("form", ("byte", "hex"), "byte")),
        first=table.whole("first", 0, _MAX_WIDTH, 0),
        leave_out=table.whole("leave_out", 0, 4, 0),
        seven_bits=is_text,
    )


_KINDS: Final[Mapping[str, Callable[[Table, bool], Field]]] = {
    "literal": _literal,
    "choice": _choice,
    "sign": _sign,
    "number": _number,
    "unit": _unit,
    "spaces": _spaces,
    "skip": _skip,
    "check": _check,
}


def _meanings(table: Table, key: str, example: str = "") -> Mapping[str, Meaning]:
    found: dict[str, Meaning] = {}
    inner = table.table(key, example=example)
    for text in _texts(inner):
        parts: dict[str, Any] = {}
        for word in inner.text(text, may_be_empty=True).split() if inner else ():
            if word in _MEANINGS:
                parts[_MEANINGS[word]] = word
            elif inner:
                near = suggestion(word, _MEANINGS)
                inner.fault(
                    text, "meaning-unknown", found=word, choices=", ".join(_MEANINGS), suggestion=near
                )
        found[text] = Meaning(**parts)
    return MappingProxyType(found)


def _texts(inner: Table | None) -> list[str]:
    """The keys of a table of texts, each of which a frame can hold."""
    if inner is None:
        return []
    texts = inner.keys()
    if not 0 < len(texts) <= _MAX_TEXT_COUNT:
        inner.fault("", "text-count", found=len(texts), least=1, most=_MAX_TEXT_COUNT)
    for text in texts:
        if any(ord(character) > 0xFF for character in text):
            inner.fault(text, "not-latin", found=text)
    return texts[:_MAX_TEXT_COUNT]
