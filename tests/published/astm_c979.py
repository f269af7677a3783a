"""ASTM C979/C979M, pigments for integrally coloured concrete, section 1.4 [std].

The most is 10 % of cement by mass; the total of a blend may not pass the own most of any pigment in it. Read in
the published scope of the standard; the two doses are examples of ours, worked out by its rule. Tolerance: none,
these are definitions, but for the rounding of a floating number.
"""

from mixstation.proportion.pigment import PigmentDose, check_pigment
from tests.published.case import PublishedCase

SOURCE = "ASTM C979/C979M-16 [std]"
PLACE = "section 1.4"
PLAIN = (PigmentDose(name="black", mass_kg=1.5),)
BLEND = (
    PigmentDose(name="red", mass_kg=0.4, max_fraction=0.08),
    PigmentDose(name="yellow", mass_kg=0.3, max_fraction=0.06),
)

CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="most pigment over cement",
        expected=10,
        tolerance=0,
        unit="%",
        compute=lambda: check_pigment(PLAIN, cement_kg=10).cap_fraction * 100,
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="1.5 kg on 10 kg cement is over by",
        expected=0.5,
        tolerance=1e-12,
        unit="kg",
        compute=lambda: check_pigment(PLAIN, cement_kg=10).over_kg,
        figure="worked out",
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="blend of pigments with 8 % and 6 % of their own",
        expected=6,
        tolerance=0,
        unit="%",
        compute=lambda: check_pigment(BLEND, cement_kg=10).cap_fraction * 100,
        figure="worked out",
    ),
)
