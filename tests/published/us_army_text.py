"""US Army engineer correspondence course EN5466, moisture on aggregates (public domain) [std].

Free surface moisture 6 % on 1083 lb sand and 2 % on 1768 lb coarse aggregate, 38.6 gallons of mix water. Read on one
page of the text. Tolerance: half the last printed figure; the text's own rounding of the water on the aggregates to
whole gallons (12) lies within it.
"""

from fractions import Fraction
from functools import partial

from mixstation.plan.sand import with_moisture
from mixstation.recipe.model import Recipe
from mixstation.recipe.proportions import free_water, whole_totals
from tests.published.case import PublishedCase
from tests.published.concrete import concrete, powder

SOURCE = "US Army course EN5466 [std]"
PLACE = "correcting a mix design for free surface moisture"
GALLON_LB = Fraction("8.33")
# Any will do: no volume is asked for.
DENSITY_KG_M3 = 2650.0
DRY_LB = 1768 + 1083


def damp() -> Recipe:
    dry = concrete(
        powder("coarse", 1768, DENSITY_KG_M3, absorption="0.005"),
        powder("sand", 1083, DENSITY_KG_M3, absorption="0.01"),
        water_parts=Fraction("38.6") * GALLON_LB,
        water_kg_m3=1000.0,
    )
    damp_coarse = with_moisture(dry, "coarse", Fraction("0.02"), "free")
    return with_moisture(damp_coarse, "sand", Fraction("0.06"), "free")


def free_lb(*keys: str) -> float:
    masses = whole_totals(damp(), DRY_LB)
    return float(free_water(damp(), {key: masses[key] for key in keys}))


def water_gal() -> float:
    return float(whole_totals(damp(), DRY_LB)["water"] / GALLON_LB)


CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="free water on 1768 lb coarse aggregate at 2 %",
        expected=35.36,
        tolerance=0.005,
        unit="lb",
        compute=partial(free_lb, "coarse"),
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="free water on 1083 lb sand at 6 %",
        expected=64.98,
        tolerance=0.005,
        unit="lb",
        compute=partial(free_lb, "sand"),
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="free water on both",
        expected=100.34,
        tolerance=0.005,
        unit="lb",
        compute=partial(free_lb, "coarse", "sand"),
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="water to add of 38.6 gal",
        expected=26.6,
        tolerance=0.05,
        unit="gal",
        compute=water_gal,
    ),
)
