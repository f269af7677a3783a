"""Rows of styled text measured in terminal columns, and how blocks of them share the terminal, the most vital first."""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Literal

from rich.cells import cell_len, chop_cells, set_cell_size

from mixstation.frozen import Frozen
from mixstation.units.clean import clean

Look = Literal["plain", "strong", "cap", "good", "warn", "stop", "note"]


Span = tuple[str, Look]


Row = tuple[Span, ...]


LONGEST = 2000


BEFORE_A_CUT = " ,;:·"


PART_GAP = "   "


BLANK: Row = ()


GRAVITY_LOOK: dict[str, Look] = {"stop": "stop", "warn": "warn", "note": "note"}


def shown(text: str) -> str:
    """The text with everything unprintable made visible, so that it cannot steer the terminal."""
    return text if text.isprintable() else clean(text, limit=LONGEST)


def row(*parts: str | Span) -> Row:
    """A row of plain strings and (text, look) pairs; empty ones fall away."""
    spans = (part if isinstance(part, tuple) else (part, "plain") for part in parts)
    return tuple((shown(text), look) for text, look in spans if text)


def columns_of(line: Row) -> int:
    """How many terminal columns a row takes."""
    return sum(cell_len(text) for text, _ in line)


def plain(line: Row) -> str:
    """The row without its looks."""
    return "".join(text for text, _ in line)


def trimmed(line: Row, columns: int) -> Row:
    """The row cut to `columns`, ending in "…" where something was cut."""
    if columns_of(line) <= columns:
        return line
    if columns <= 0:
        return BLANK
    spans: list[Span] = []
    free = columns - 1
    for text, look in line:
        taken = min(cell_len(text), free)
        if taken:
            spans.append((set_cell_size(text, taken), look))
        free -= taken
        if free == 0:
            spans.append(("…", look))
            break
    return tuple(spans)


def worded(line: Row, columns: int) -> Row:
    """The row cut like `trimmed`, but between words where that keeps at least half of what there is room for."""
    cut = trimmed(line, columns)
    kept = plain(cut)[:-1]
    if cut == line or not kept:
        return cut
    whole_words = kept if plain(line)[len(kept)] == " " else kept[: kept.rfind(" ") + 1]
    whole_words = whole_words.rstrip(BEFORE_A_CUT)
    if len(whole_words) * 2 < len(kept):
        return cut
    spans: list[Span] = []
    left = len(whole_words)
    for text, look in line:
        if left > 0:
            spans.append((text[:left], look))
        left -= len(text)
    return (*spans, ("…", spans[-1][1]))


def first_fitting(forms: Iterable[Row], columns: int) -> Row:
    """The first of several forms of a row for which there is room; the last one cut where there is none."""
    form = BLANK
    for form in forms:
        if columns_of(form) <= columns:
            return form
    return worded(form, columns)


def filled(line: Row, columns: int) -> Row:
    """The row cut between words, or padded, to exactly `columns`."""
    cut = worded(line, columns)
    missing = columns - columns_of(cut)
    return (*cut, (" " * missing, "plain")) if missing > 0 else cut


def ends(left: Row, right: Row, columns: int) -> Row:
    """`left` at the left edge and `right` at the right edge; the left gives way."""
    right = worded(right, columns)
    room = columns - columns_of(right)
    return (
        (*filled(left, max(room - 1, 0)), (" " * min(room, 1), "plain"), *right)
        if right
        else worded(left, columns)
    )


def flowed(parts: Iterable[Row], columns: int, gap: str = PART_GAP) -> tuple[Row, ...]:
    """Parts one after the other, as many on a row as fit whole."""
    rows: list[Row] = []
    for part in parts:
        if rows and columns_of(rows[-1]) + len(gap) + columns_of(part) <= columns:
            rows[-1] = row(*rows[-1], gap, *part)
        else:
            rows.append(part)
    return tuple(worded(line, columns) for line in rows)


@lru_cache(maxsize=256)
def wrapped(text: str, columns: int, look: Look = "plain", indent: int = 0) -> tuple[Row, ...]:
    """The text broken between words into rows; rows after the first are indented."""
    if columns <= indent:
        return (trimmed(row((text, look)), columns),)
    lines: list[str] = []
    line = ""
    for word in shown(text).split():
        room = columns - (indent if lines else 0)
        longer = f"{line} {word}" if line else word
        if cell_len(longer) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        *whole, line = chop_cells(word, columns - indent) or [""]
        lines.extend(whole)
    if line:
        lines.append(line)
    rows = (row(" " * (indent if n else 0), (text, look)) for n, text in enumerate(lines))
    return tuple(trimmed(line, columns) for line in rows)


def beside(left: Iterable[Row], left_columns: int, right: Iterable[Row], rule: str = "") -> tuple[Row, ...]:
    """Two stacks of rows side by side, the shorter one filled up with blanks."""
    lefts, rights = list(left), list(right)
    count = max(len(lefts), len(rights))
    lefts += [BLANK] * (count - len(lefts))
    rights += [BLANK] * (count - len(rights))
    return tuple(
        (*filled(one, left_columns), *row(rule), *other) if other or rule else one
        for one, other in zip(lefts, rights, strict=True)
    )


Rows = tuple[Row, ...]


class Block(Frozen):
    """A part of the board that can be drawn in several heights.

    Attributes:
        forms: How it looks, smallest first; empty where there is nothing to show.
        keep: Rank at which its smallest form is placed; the lowest rank comes first.
        grow: Rank at which it takes the largest form for which there is room.
        foot: Belongs to the lower edge.
    """

    forms: tuple[Rows, ...]
    keep: int
    grow: int
    foot: bool = False


def cuttable(
    rows: Sequence[Row], *, least: int, keep: int, grow: int, foot: bool = False, text: bool = False
) -> Block:
    """A block that may lose rows from its end, down to `least`; cut `text` ends in "…"."""
    least = max(1, min(least, len(rows)))
    forms = [tuple(rows[:count]) for count in range(least, len(rows) + 1)]
    if text:
        forms = [(*form[:-1], (*form[-1], (" …", "plain"))) for form in forms[:-1]] + forms[-1:]
    return Block(forms=tuple(forms), keep=keep, grow=grow, foot=foot)


def stacked(blocks: Sequence[Block], height: int) -> tuple[Row, ...]:
    """Exactly `height` rows: the blocks in their order, free rows above the foot.

    Every block gets its smallest form at rank `keep` and its largest fitting form at rank `grow`; a block whose
    smallest form does not fit at its turn is left out.
    """
    placed: dict[int, Rows] = {}
    free = height
    turns = [(block.keep, 0, at) for at, block in enumerate(blocks) if block.forms]
    turns += [(block.grow, 1, at) for at, block in enumerate(blocks) if block.forms]
    for _, growing, at in sorted(turns):
        if growing and at not in placed:
            continue
        room = free + len(placed.get(at, ()))
        forms = blocks[at].forms if growing else blocks[at].forms[:1]
        fitting = [form for form in forms if len(form) <= room]
        if fitting:
            placed[at] = fitting[-1]
            free = room - len(fitting[-1])
    head = [line for at, block in enumerate(blocks) if not block.foot for line in placed.get(at, ())]
    foot = [line for at, block in enumerate(blocks) if block.foot for line in placed.get(at, ())]
    return (*head, *[BLANK] * free, *foot)
