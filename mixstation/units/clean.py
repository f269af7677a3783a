"""The one cleaning of text from outside: files, serial lines, keys, the database, other programs' errors."""

import unicodedata

REPLACEMENT = "\N{REPLACEMENT CHARACTER}"
MAX_MARK_COUNT = 4
_REPLACED = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
_MARKS = frozenset({"Mn", "Mc", "Me"})


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
