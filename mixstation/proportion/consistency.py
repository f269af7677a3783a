"""Consistency of the fresh mix in numbers: the rings of the slump tube's plate."""

FIRST_RING_MM = 65.0
"""Diameter of ring 0 of the slump-tube plate. Source: EN 1170-1:1997, from memory."""

RING_STEP_MM = 20.0
"""Diameter from one ring to the next. Source: EN 1170-1:1997, from memory."""

LAST_RING = 8
"""Outermost ring. Source: EN 1170-1:1997, from memory."""


def ring_diameter_mm(ring: int) -> float:
    """Diameter of a ring of the slump-tube plate, which has 0 to `LAST_RING`.

    Source: EN 1170-1:1997, from memory.

    Example:
        >>> ring_diameter_mm(4)
        145.0
    """
    return FIRST_RING_MM + RING_STEP_MM * ring
