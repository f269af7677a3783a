"""Batching tolerances of two published standards, as data.

They are written for ready-mixed concrete plants; for a bucket they say what a plant would have to keep.
"""

from typing import Literal

from mixstation.frozen import dataclass

Standard = Literal["ASTM C94", "EN 206"]
Group = Literal["cement", "cement-small-batch", "aggregate", "water", "admixture", "addition"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchingTolerance:
    """How far a weighed amount may lie from its target.

    Attributes:
        standard: The standard.
        group: The kind of material.
        under_percent: Allowed below target, in per cent of it.
        over_percent: Allowed above target, in per cent of it.
        source: Edition and place, with how it was read.
    """

    standard: Standard
    group: Group
    under_percent: float
    over_percent: float
    source: str


_C94 = "ASTM C94/C94M, section on batching, from memory"
_C94_WATER = "ASTM C94/C94M-21a, batching accuracy of water, as announced in 2021"
_EN_206 = "EN 206:2013, table on batching tolerances, from memory"

BATCHING_TOLERANCES: tuple[BatchingTolerance, ...] = (
    BatchingTolerance(standard="ASTM C94", group="cement", under_percent=1, over_percent=1, source=_C94),
    BatchingTolerance(
        standard="ASTM C94", group="cement-small-batch", under_percent=0, over_percent=4, source=_C94
    ),
    BatchingTolerance(standard="ASTM C94", group="aggregate", under_percent=2, over_percent=2, source=_C94),
    BatchingTolerance(
        standard="ASTM C94", group="water", under_percent=1.5, over_percent=1.5, source=_C94_WATER
    ),
    BatchingTolerance(standard="ASTM C94", group="admixture", under_percent=3, over_percent=3, source=_C94),
    BatchingTolerance(standard="EN 206", group="cement", under_percent=3, over_percent=3, source=_EN_206),
    BatchingTolerance(standard="EN 206", group="aggregate", under_percent=3, over_percent=3, source=_EN_206),
    BatchingTolerance(standard="EN 206", group="water", under_percent=3, over_percent=3, source=_EN_206),
    BatchingTolerance(standard="EN 206", group="addition", under_percent=3, over_percent=3, source=_EN_206),
    BatchingTolerance(standard="EN 206", group="admixture", under_percent=5, over_percent=5, source=_EN_206),
)
"""Source: each row names its own. EN 206 counts an addition of 5 % of cement or less with the admixtures; ASTM C94
counts a batch whose cement is under 30 % of the scale's capacity as small."""


def batching_tolerance(standard: Standard, group: Group) -> BatchingTolerance | None:
    """The tolerance a standard gives for a kind of material.

    Args:
        standard: Which standard.
        group: Which kind of material.

    Returns:
        The row, or None where the standard has none.

    Source:
        `BATCHING_TOLERANCES`.

    Example:
        >>> batching_tolerance("EN 206", "water").over_percent
        3
    """
    for row in BATCHING_TOLERANCES:
        if row.standard == standard and row.group == group:
            return row
    return None
