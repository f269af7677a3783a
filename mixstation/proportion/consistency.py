"""Consistency of the fresh mix in numbers: flow table, spread, slump tube on a ringed plate."""

import math
from collections.abc import Sequence

from mixstation.proportion.error import need_between, need_positive

FLOW_MOULD_MM = 100.0
"""Base of the flow-table mould. Source: ASTM C230."""

FIRST_RING_MM = 65.0
"""Diameter of ring 0 of the slump-tube plate. Source: EN 1170-1:1997, from memory."""

RING_STEP_MM = 20.0
"""Diameter from one ring to the next. Source: EN 1170-1:1997, from memory."""

LAST_RING = 8
"""Outermost ring. Source: EN 1170-1:1997, from memory."""


def flow_percent(diameters_mm: Sequence[float], *, mould_mm: float = FLOW_MOULD_MM) -> float:
    """Flow on the flow table after 25 drops in 15 s.

    Args:
        diameters_mm: Diameters along the table's lines, commonly four; each above 0.
        mould_mm: Base diameter of the mould, above 0.

    Returns:
        Increase of diameter in per cent of the mould.

    Raises:
        ProportionError: "not-finite", "not-positive" (also for no diameter at all).

    Source:
        ASTM C1437, from memory.

    Example:
        >>> flow_percent([180, 182, 178, 180])
        80.0
    """
    need_positive(diameters_count=len(diameters_mm), mould_mm=mould_mm)
    for diameter_mm in diameters_mm:
        need_positive(diameter_mm=diameter_mm)
    mean_mm = math.fsum(diameters_mm) / len(diameters_mm)
    return (mean_mm - mould_mm) / mould_mm * 100


def spread_mm(first_mm: float, second_mm: float) -> float:
    """Spread without drops: the mean of two diameters at right angles.

    Args:
        first_mm: Largest diameter, above 0.
        second_mm: Diameter across it, above 0.

    Returns:
        Spread in mm.

    Raises:
        ProportionError: "not-finite", "not-positive".

    Source:
        ASTM C1856, static flow read after 2 minutes.

    Example:
        >>> spread_mm(224, 218)
        221.0
    """
    need_positive(first_mm=first_mm, second_mm=second_mm)
    return (first_mm + second_mm) / 2


def ring_diameter_mm(ring: int) -> float:
    """Diameter of a ring of the slump-tube plate.

    Args:
        ring: Ring number, 0 to 8.

    Returns:
        Diameter in mm.

    Raises:
        ProportionError: "out-of-range".

    Source:
        EN 1170-1:1997, from memory.

    Example:
        >>> ring_diameter_mm(4)
        145.0
    """
    need_between(0, LAST_RING, ring=ring)
    return FIRST_RING_MM + RING_STEP_MM * ring


def ring_reached(diameter_mm: float) -> int:
    """Last ring of the slump-tube plate that the mix has reached.

    Args:
        diameter_mm: Spread on the plate, 65 mm or more.

    Returns:
        Ring number, 0 to 8; 8 also beyond the last ring.

    Raises:
        ProportionError: "not-finite", "out-of-range" inside the first ring.

    Source:
        EN 1170-1:1997, from memory.

    Example:
        >>> ring_reached(160)
        4
    """
    need_between(FIRST_RING_MM, 1000, diameter_mm=diameter_mm)
    return min(LAST_RING, math.floor((diameter_mm - FIRST_RING_MM) / RING_STEP_MM))
