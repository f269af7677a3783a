"""EN 1170-1:1997, consistency of GRC matrix by the slump tube: rings of the plate [mem].

Rings 0 to 8 of 65 mm and 20 mm more each. Read from memory. Tolerance: none, these are definitions.
"""

from functools import partial

from mixstation.proportion.consistency import ring_diameter_mm
from tests.published.case import PublishedCase

CASES: tuple[PublishedCase, ...] = tuple(
    PublishedCase(
        source="EN 1170-1:1997 [mem]",
        place="target plate",
        what=f"diameter of ring {ring}",
        expected=printed,
        tolerance=0,
        unit="mm",
        compute=partial(ring_diameter_mm, ring),
    )
    for ring, printed in ((0, 65), (1, 85), (4, 145), (8, 225))
)
