"""US Navy training text on concrete mix design, the 3000 psi example (public domain) [mem].

Water 305, cement 610 and coarse aggregate 1735 lb for one cubic yard; specific gravities 3.15 (cement), 2.60
(coarse), 2.65 (sand); air 5 %. The figures were taken over from notes on the text, not read in it again. The text
rounds each volume to 0.01 ft³. Tolerance: half of that, and one pound for the sand, which the text works out from
the rounded volumes.
"""

from functools import partial

from mixstation.proportion.volume import absolute_volume_l
from tests.published.case import PublishedCase
from tests.published.concrete import CUBIC_FOOT_L, POUND_MG, WATER_KG_M3, YARD_L, concrete, for_volume, powder

SOURCE = "US Navy training text, concrete mix design [mem]"
PLACE = "3000 psi example"


def cubic_feet(pounds: int, gravity_ratio: float) -> float:
    mass_kg = float(pounds * POUND_MG) / 1e6
    return absolute_volume_l(mass_kg, density_kg_m3=gravity_ratio * WATER_KG_M3) / CUBIC_FOOT_L


def sand_lb() -> float:
    recipe = concrete(
        powder("cement", 610, 3.15 * WATER_KG_M3),
        powder("coarse", 1735, 2.60 * WATER_KG_M3),
        powder("sand", 1152, 2.65 * WATER_KG_M3),
        water_parts=305,
        water_kg_m3=WATER_KG_M3,
        air="0.05",
    )
    return float(for_volume(recipe, YARD_L)["sand"] / POUND_MG)


CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="volume of 305 lb water",
        expected=4.89,
        tolerance=0.005,
        unit="ft³",
        compute=partial(cubic_feet, 305, 1.0),
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="volume of 610 lb cement",
        expected=3.10,
        tolerance=0.005,
        unit="ft³",
        compute=partial(cubic_feet, 610, 3.15),
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="volume of 1735 lb coarse aggregate",
        expected=10.69,
        tolerance=0.005,
        unit="ft³",
        compute=partial(cubic_feet, 1735, 2.60),
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
