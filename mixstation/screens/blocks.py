"""Deals the rows of the terminal out to parts of the board, the most vital first."""

from collections.abc import Sequence

from mixstation.frozen import dataclass
from mixstation.screens.rows import BLANK, Row

Form = tuple[Row, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A part of the board that can be drawn in several heights.

    Attributes:
        forms: How it looks, smallest first; empty where there is nothing to show.
        keep: Rank at which its smallest form is placed; the lowest rank comes first.
        grow: Rank at which it takes the largest form for which there is room.
        foot: Belongs to the lower edge.
    """

    forms: tuple[Form, ...]
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
    placed: dict[int, Form] = {}
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
