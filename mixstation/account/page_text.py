"""Text for a Markdown page: everything that is put on it goes through here, so that no name can become markup."""

import re
from collections.abc import Iterable, Sequence

from mixstation.units.clean import clean

# Signs that Markdown reads as markup inside a line. A backslash before one makes it plain, in every dialect.
_MARKUP = re.compile(r"[\\`_\[\]<>|~&@]|(?<!\s)\*|\*(?!\s)|:(?=//)|(?i:www)\.|#(?=#*$)")
# What would begin a heading, a list, a quotation or a rule at the start of a line; a signed number would not.
_AT_START = re.compile(r"^(?:[#+\-=](?!\d)|\d+[.)](?=\s|$))")


def page(text: str) -> str:
    r"""Text from outside as plain text of a page, on one line.

    Args:
        text: Any text.

    Returns:
        Markdown that shows the cleaned text and nothing else.

    Source: CommonMark 0.31, backslash escapes: any ASCII punctuation may be escaped.

    Example:
        >>> print(page("*pale* <b>[spot](x)\n# 3"))
        \*pale\* \<b\>\[spot\](x) # 3
    """
    line = clean(" ".join(text.split()), 4_000)
    return _AT_START.sub(lambda found: f"{found[0][:-1]}\\{found[0][-1]}", _MARKUP.sub(_plain, line))


def _plain(found: re.Match[str]) -> str:
    sign = found[0]
    return f"{sign[:-1]}\\." if sign.endswith(".") else f"\\{sign}"


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """A table whose columns stand one under the other in a terminal too.

    Args:
        head: Titles, our own words.
        rows: Texts, escaped already.
    """
    lines = [list(head), *map(list, rows)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(head))]
    texts = [
        "| " + " | ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)) + " |"
        for line in lines
    ]
    rule = "| " + " | ".join("-" * width for width in widths) + " |"
    return [texts[0], rule, *texts[1:]]
