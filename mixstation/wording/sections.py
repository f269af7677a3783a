"""A plan as sections of words, and those sections as lines of text; screen and sheet show the same ones."""

from dataclasses import fields, replace

from mixstation.frozen import Frozen
from mixstation.wording.columns import aligned
from mixstation.wording.safety import IN_SHORT

NO_FIGURE = "–"


class Row(Frozen):
    """One line of a section.

    Attributes:
        name: What it is about; a whole sentence where it has no cells.
        cells: Its figures, one for each column, "" for none; no cells at all in a heading or a sentence.
        note: Where to do it, or where a sentence comes from.
        is_sum: It sums up the rows above; nothing is done at it.
        is_grave: Casting must wait for it.
    """

    name: str
    cells: tuple[str, ...] = ()
    note: str = ""
    is_sum: bool = False
    is_grave: bool = False


class Section(Frozen):
    """One part of a plan.

    Attributes:
        title: Its head.
        heads: Of the columns of its table; none without one.
        note_head: Of the notes behind the figures.
        rows: Its table, or its sentences with their notes.
        lines: What is said below it.
        brief: All of it in a line, for where there is no room; "" where that cannot be.
    """

    title: str
    heads: tuple[str, ...] = ()
    note_head: str = ""
    rows: tuple[Row, ...] = ()
    lines: tuple[str, ...] = ()
    brief: str = ""

    def columns(self, first: int, count: int) -> "Section":
        """The section with some of its columns.

        Args:
            first: The first of them, from 0.
            count: How many there are room for.
        """
        held = slice(first, first + count)
        rows = tuple(replace(row, cells=row.cells[held]) for row in self.rows)
        return replace(self, heads=self.heads[held], rows=rows)


class PlanSections(Frozen):
    """A whole plan in words, in the order in which it is needed; a section that says nothing is empty.

    Attributes:
        title: Recipe and revision.
        mixed: How much mix, loss and waste in it.
        made: How much in how many buckets, for what.
        cautions: What to think about before the first water, each with its source.
        pieces: What is cast.
        volume: What the buckets hold in all.
        weigh_out: What is weighed for each bucket, in the order of the work.
        dilutions: How each is made.
        water: The ratio on every basis, and its limits.
        day: Temperature and working time.
        order: The minutes of the work.
        stock: What is taken and what is lacking.
        cost: Of all and of each.
        rescue: What to keep by.
        bag: What one bag takes.
        after: What is done with the piece after the pour, at which hour.
    """

    title: str
    mixed: str
    made: str
    cautions: Section
    pieces: Section
    volume: Section
    weigh_out: Section
    dilutions: Section
    water: Section
    day: Section
    order: Section
    stock: Section
    cost: Section
    rescue: Section
    bag: Section
    after: Section

    @property
    def all(self) -> tuple[Section, ...]:
        """Every section, in order."""
        held = (getattr(self, field.name) for field in fields(self))
        return tuple(each for each in held if isinstance(each, Section))


def plan_text(plan: PlanSections) -> tuple[str, ...]:
    """The whole plan in lines to read or to print; sections that say nothing are left out."""
    lines = [plan.title, IN_SHORT]
    for section in plan.all:
        if held := section_lines(section):
            lines += ["", section.title, *(f"  {line}" for line in held)]
    return tuple(lines)


def section_lines(section: Section) -> list[str]:
    """A section in lines: its table in columns, then what is said below it."""
    if section.heads:
        blank = ("",) * len(section.heads)
        table = [("", *section.heads, section.note_head)]
        for row in section.rows:
            cells = tuple(cell or NO_FIGURE for cell in row.cells) or blank
            table.append((row.name, *cells, row.note))
        return [*aligned(table, right=range(1, len(section.heads) + 1)), *section.lines]
    return [*(f"{row.name} ({row.note})" if row.note else row.name for row in section.rows), *section.lines]
