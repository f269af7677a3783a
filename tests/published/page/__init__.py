"""Every published check as one Markdown table: `python -m tests.published.page`."""

from collections import Counter
from collections.abc import Iterable

from tests.published.case import PublishedCase
from tests.published.reach import entered_by, entered_by_commands

HEADINGS = ("Source", "Place", "What", "Figure", "Expected", "Computed", "Deviation", "Tolerance", "Unit")


def cells(case: PublishedCase) -> tuple[str, ...]:
    """One case as the texts of its row."""
    computed = case.compute()
    deviation = case.deviation(computed)
    return (
        case.source,
        case.place,
        case.what,
        case.figure,
        f"{case.expected:.12g}",
        f"{computed:.12g}",
        f"{deviation:+.2g}" if deviation else "0",
        f"{case.tolerance:g}",
        case.unit,
    )


def row(texts: Iterable[str]) -> str:
    """Texts as one line of the table."""
    return "| " + " | ".join(text.replace("|", "\\|") for text in texts) + " |"


def counted(cases: Iterable[PublishedCase]) -> str:
    """How many values there are of each kind, how many printed ones were not read in print, and what they prove."""
    cases = tuple(cases)
    figures = Counter(case.figure for case in cases)
    recalled = sum(case.figure == "printed" and "[mem]" in case.source for case in cases)
    beside = sum(not entered_by(case) <= entered_by_commands() for case in cases)
    return (
        f"{figures['printed']} printed values ({recalled} of them from memory of the document), "
        f"{figures['worked out']} values worked out apart from this program from a published formula or from data, "
        f"{figures['disagrees']} printed that this program does not give again. "
        f"{beside} of them go through code that no command runs."
    )


def table(cases: Iterable[PublishedCase]) -> str:
    """Cases as a Markdown table with its counts above."""
    cases = tuple(cases)
    rule = row("---:" if heading in HEADINGS[4:8] else "---" for heading in HEADINGS)
    return "\n".join([counted(cases), "", row(HEADINGS), rule, *(row(cells(case)) for case in cases)])
