"""Batching tolerances of two published standards, as data.

They are written for ready-mixed concrete plants; for a bucket they say what a plant would have to keep.
"""

from collections.abc import Collection
from fractions import Fraction
from typing import Literal

from mixstation.frozen import Frozen

Standard = Literal["ASTM C94", "EN 206"]
Group = Literal["cement", "cement-small-batch", "aggregate", "water", "admixture", "addition"]


class BatchingTolerance(Frozen):
    """How far a weighed amount may lie from its target; `source`: edition and place, with how it was read."""

    standard: Standard
    group: Group
    under_percent: Fraction
    over_percent: Fraction
    source: str


_C94 = "ASTM C94/C94M, section on batching, from memory"
_C94_WATER = "ASTM C94/C94M-21a, batching accuracy of water, as announced in 2021"
_EN_206 = "EN 206:2013, table on batching tolerances, from memory"


def _row(standard: Standard, group: Group, under: str, over: str, source: str) -> BatchingTolerance:
    return BatchingTolerance(
        standard=standard,
        group=group,
        under_percent=Fraction(under),
        over_percent=Fraction(over),
        source=source,
    )


BATCHING_TOLERANCES: tuple[BatchingTolerance, ...] = (
    _row("ASTM C94", "cement", "1", "1", _C94),
    _row("ASTM C94", "cement-small-batch", "0", "4", _C94),
    _row("ASTM C94", "aggregate", "2", "2", _C94),
    _row("ASTM C94", "water", "1.5", "1.5", _C94_WATER),
    _row("ASTM C94", "admixture", "3", "3", _C94),
    _row("EN 206", "cement", "3", "3", _EN_206),
    _row("EN 206", "aggregate", "3", "3", _EN_206),
    _row("EN 206", "water", "3", "3", _EN_206),
    _row("EN 206", "addition", "3", "3", _EN_206),
    _row("EN 206", "admixture", "5", "5", _EN_206),
)
"""Source: each row names its own. EN 206 counts an addition of 5 % of cement or less with the admixtures; ASTM C94
counts a batch whose cement is under 30 % of the scale's capacity as small."""


def batching_tolerance(standard: Standard, group: Group) -> BatchingTolerance:
    """The tolerance a standard gives for a kind of material.

    Raises:
        KeyError: The standard has none.

    Example:
        >>> batching_tolerance("EN 206", "water").over_percent
        Fraction(3, 1)
    """
    for row in BATCHING_TOLERANCES:
        if row.standard == standard and row.group == group:
            return row
    raise KeyError(standard, group)


class WidestTolerance(Frozen):
    """How far off any of the standards allows, each side by itself."""

    under_percent: Fraction
    over_percent: Fraction
    source: str


def widest_tolerance(groups: Collection[Group]) -> WidestTolerance:
    """The widest any standard allows a material on each side, and whose, by one or more groups it counts with.

    Example:
        >>> widest_tolerance(["cement", "cement-small-batch"]).over_percent
        Fraction(4, 1)
    """
    rows = [row for row in BATCHING_TOLERANCES if row.group in groups]
    return WidestTolerance(
        under_percent=max(row.under_percent for row in rows),
        over_percent=max(row.over_percent for row in rows),
        source="ASTM C94 and EN 206, from memory",
    )
