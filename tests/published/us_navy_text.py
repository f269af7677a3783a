"""US Navy training text on concrete mix design, the 3000 psi example (public domain) [mem].

Water 305, cement 610 and coarse aggregate 1735 lb for one cubic yard; specific gravities 3.15 (cement), 2.60
(coarse), 2.65 (sand); air 5 %. The figures were taken over from notes on the text, not read in it again. The text
rounds each volume to 0.01 ft³. Tolerance: half of that, and one pound for the sand, which the text works out from
the rounded volumes.
"""

from mixstation.proportion.volume import (
    Part,
    absolute_volume_l,
    density_from_gravity_kg_m3,
    sand_by_absolute_volume_kg,
)
from tests.published.case import PublishedCase

SOURCE = "US Navy training text, concrete mix design [mem]"
PLACE = "3000 psi example"
POUND_KG = 0.45359237
CUBIC_FOOT_L = 28.316846592
WATER_KG_M3 = 62.4 * POUND_KG / CUBIC_FOOT_L * 1000


def part(pounds: float, gravity_ratio: float) -> Part:
    density_kg_m3 = density_from_gravity_kg_m3(gravity_ratio, water_kg_m3=WATER_KG_M3)
    return Part(mass_kg=pounds * POUND_KG, density_kg_m3=density_kg_m3)


WATER, CEMENT, COARSE = part(305, 1), part(610, 3.15), part(1735, 2.60)


def cubic_feet(of: Part) -> float:
    return absolute_volume_l(of.mass_kg, density_kg_m3=of.density_kg_m3) / CUBIC_FOOT_L


def sand_lb() -> float:
    sand_kg = sand_by_absolute_volume_kg(
        [WATER, CEMENT, COARSE],
        volume_l=27 * CUBIC_FOOT_L,
        air_fraction=0.05,
        sand_kg_m3=part(1, 2.65).density_kg_m3,
    )
    return sand_kg / POUND_KG


CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="volume of 305 lb water",
        expected=4.89,
        tolerance=0.005,
        unit="ft³",
        compute=lambda: cubic_feet(WATER),
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="volume of 610 lb cement",
        expected=3.10,
        tolerance=0.005,
        unit="ft³",
        compute=lambda: cubic_feet(CEMENT),
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="volume of 1735 lb coarse aggregate",
        expected=10.69,
        tolerance=0.005,
        unit="ft³",
        compute=lambda: cubic_feet(COARSE),
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="sand by absolute volume, air 5 %",
        expected=1152,
        tolerance=1,
        unit="lb",
        compute=sand_lb,
    ),
)
