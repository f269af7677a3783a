"""Batching tolerances of ASTM C94/C94M and EN 206:2013.

Water of ASTM C94/C94M-21a was read in the announcement of that revision, July 2021 [std]; the rest of C94 and the
table of EN 206 are from memory [mem], EN 206's figures agreeing with a Czech trade glossary. Tolerance: none, these
are definitions.
"""

from functools import partial

from mixstation.proportion.batching import Group, Standard, batching_tolerance
from tests.published.case import PublishedCase

SOURCES: dict[tuple[Standard, Group], str] = {("ASTM C94", "water"): "ASTM C94/C94M-21a [std]"}
DEFAULT_SOURCES: dict[Standard, str] = {"ASTM C94": "ASTM C94/C94M [mem]", "EN 206": "EN 206:2013 [mem]"}

# standard, group, per cent allowed under and over
ROWS: tuple[tuple[Standard, Group, float, float], ...] = (
    ("ASTM C94", "cement", 1, 1),
    ("ASTM C94", "cement-small-batch", 0, 4),
    ("ASTM C94", "aggregate", 2, 2),
    ("ASTM C94", "water", 1.5, 1.5),
    ("ASTM C94", "admixture", 3, 3),
    ("EN 206", "cement", 3, 3),
    ("EN 206", "aggregate", 3, 3),
    ("EN 206", "water", 3, 3),
    ("EN 206", "addition", 3, 3),
    ("EN 206", "admixture", 5, 5),
)


def bound_percent(standard: Standard, group: Group, side: str) -> float:
    """The allowance on a side, or the one of both."""
    row = batching_tolerance(standard, group)
    if side == "either side of":
        (bound,) = {row.under_percent, row.over_percent}
        return float(bound)
    return float(row.under_percent if side == "under" else row.over_percent)


def sides(under: float, over: float) -> tuple[tuple[str, float], ...]:
    """What is printed of a row: one figure after ±, or one a side."""
    return (("either side of", under),) if under == over else (("under", under), ("over", over))


CASES: tuple[PublishedCase, ...] = tuple(
    PublishedCase(
        source=SOURCES.get((standard, group), DEFAULT_SOURCES[standard]),
        place="batching accuracy",
        what=f"{group}, {side} target",
        expected=printed,
        tolerance=0,
        unit="%",
        compute=partial(bound_percent, standard, group, side),
    )
    for standard, group, under, over in ROWS
    for side, printed in sides(under, over)
)
