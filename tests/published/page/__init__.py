"""Every published check as one Markdown table: `python -m tests.published.page`."""

from collections.abc import Iterable

from tests.published.case import PublishedCase

HEADINGS = ("Source", "Place", "What", "Printed", "Computed", "Deviation", "Tolerance", "Unit")


def cells(case: PublishedCase) -> tuple[str, ...]:
    """One case as the texts of its row."""
    computed = case.compute()
    deviation = case.deviation(computed)
    return (
        case.source,
        case.place,
        case.what,
        f"{case.printed:.12g}",
        f"{computed:.12g}",
        f"{deviation:+.2g}" if deviation else "0",
        f"{case.tolerance:g}",
        case.unit,
    )


def row(texts: Iterable[str]) -> str:
    """Texts as one line of the table."""
    return "| " + " | ".join(text.replace("|", "\\|") for text in texts) + " |"


def table(cases: Iterable[PublishedCase]) -> str:
    """Cases as a Markdown table with its count above."""
    rows = [row(cells(case)) for case in cases]
    rule = row("---:" if heading in HEADINGS[3:7] else "---" for heading in HEADINGS)
    return "\n".join([f"{len(rows)} checks against published values.", "", row(HEADINGS), rule, *rows])
