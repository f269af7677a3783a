"""The one cleaning of text from outside: files, serial lines, keys, the database, other programs' errors."""

import unicodedata
from dataclasses import fields, replace
from typing import Any, TypeVar

from mixstation.frozen import Frozen

REPLACEMENT = "\N{REPLACEMENT CHARACTER}"
MAX_MARK_COUNT = 4
_REPLACED = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
_MARKS = frozenset({"Mn", "Mc", "Me"})
_Told = TypeVar("_Told")


def clean(text: str, limit: int = 200, *, keep_lines: bool = False) -> str:
    r"""Make text from outside safe to show and to keep.

    Control, format, surrogate, private and unassigned characters and line separators become U+FFFD; combining
    marks past four in a row are dropped; what is longer than the limit ends in "…". Cleaning twice changes
    nothing more.

    Args:
        text: Any text.
        limit: Longest result, in characters, at least 1.
        keep_lines: Keep line feeds and tabs, for texts of several lines.

    Returns:
        Text of at most `limit` characters.

    Source: Choice: Unicode general categories; four marks serve every living script's stacked signs.

    Example:
        >>> clean("tub\x1b[2J 3")
        'tub�[2J 3'
        >>> clean("white cement", limit=6)
        'white…'
    """
    if len(text) <= limit and text.isascii() and text.isprintable():
        return text
    kept: list[str] = []
    mark_count = 0
    for character in text:
        category = unicodedata.category(character)
        if category in _MARKS:
            mark_count += 1
            if mark_count > MAX_MARK_COUNT:
                continue
        else:
            mark_count = 0
        replaced = category in _REPLACED and not (keep_lines and character in "\n\t")
        kept.append(REPLACEMENT if replaced else character)
        if len(kept) > limit:
            return "".join(kept[: limit - 1]) + "…"
    return "".join(kept)


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
