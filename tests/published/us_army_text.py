"""US Army engineer correspondence course EN5466, moisture on aggregates (public domain) [std].

Free surface moisture 6 % on 1083 lb sand and 2 % on 1768 lb coarse aggregate, 38.6 gallons of mix water. Read on one
page of the text. Tolerance: half the last printed figure; the text then rounds the water on the aggregates to whole
gallons (12), so the last value carries half a gallon less rounding, here 0.06.
"""

from mixstation.proportion.water import sand_water_kg, water_to_weigh_kg
from tests.published.case import PublishedCase

SOURCE = "US Army course EN5466 [std]"
PLACE = "correcting a mix design for free surface moisture"
GALLON_LB = 8.33


def coarse_lb() -> float:
    return sand_water_kg(1768, moisture_fraction=0.02, absorption_fraction=0)


def fine_lb() -> float:
    return sand_water_kg(1083, moisture_fraction=0.06, absorption_fraction=0)


CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="free water on 1768 lb coarse aggregate at 2 %",
        expected=35.36,
        tolerance=0.005,
        unit="lb",
        compute=coarse_lb,
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="free water on 1083 lb sand at 6 %",
        expected=64.98,
        tolerance=0.005,
        unit="lb",
        compute=fine_lb,
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="free water on both",
        expected=100.34,
        tolerance=0.005,
        unit="lb",
        compute=lambda: coarse_lb() + fine_lb(),
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="water to add of 38.6 gal",
        expected=26.6,
        tolerance=0.06,
        unit="gal",
        compute=lambda: water_to_weigh_kg(
            water_ratio=1, basis_kg=38.6, carried_kg=(coarse_lb() + fine_lb()) / GALLON_LB
        ),
    ),
)
