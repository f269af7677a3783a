"""ASTM C979/C979M, pigments for integrally coloured concrete, section 1.4 [std].

The most is 10 % of cement by mass; the total of a blend may not pass the own most of any pigment in it. Read in
the published scope of the standard; the blend is an example of ours, worked out by its rule. Tolerance: none, these
are definitions.
"""

from fractions import Fraction

from mixstation.proportion.pigment import most_pigment_mg
from tests.published.case import PublishedCase

SOURCE = "ASTM C979/C979M-16 [std]"
PLACE = "section 1.4"
CEMENT_MG = 10_000_000
BLEND_MG = (Fraction(8, 100) * CEMENT_MG, Fraction(6, 100) * CEMENT_MG)

CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="most pigment over cement",
        expected=10,
        tolerance=0,
        unit="%",
        compute=lambda: float(most_pigment_mg(CEMENT_MG) / CEMENT_MG * 100),
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="blend of pigments with 8 % and 6 % of their own",
        expected=6,
        tolerance=0,
        unit="%",
        compute=lambda: float(most_pigment_mg(CEMENT_MG, BLEND_MG) / CEMENT_MG * 100),
        figure="worked out",
    ),
)
