"""ACI 211.1-91, the first worked example, in both unit systems [mem].

Chapter 7, example 1 (inch-pound) and the same example in the metric appendix: water, water ratio, coarse aggregate,
air, then sand by absolute volume, then the correction for moisture. Read from memory of the document and recomputed;
not read in print. Tolerance: half the last printed figure; for the sand what half the last figure of its volume
weighs, because the document rounds volumes before weighing: 0.005 ft³ is 0.8 lb, 0.0005 m³ is 1.3 kg.
"""

from mixstation.proportion.volume import (
    Part,
    absolute_volume_l,
    density_from_gravity_kg_m3,
    sand_by_absolute_volume_kg,
)
from mixstation.proportion.water import moist_sand_kg, sand_water_kg, water_to_weigh_kg
from tests.published.case import PublishedCase

SOURCE = "ACI 211.1-91 [mem]"
POUND_KG = 0.45359237
CUBIC_FOOT_L = 28.316846592
WATER_KG_M3 = 62.4 * POUND_KG / CUBIC_FOOT_L * 1000

GRAVITY = {"water": 1.0, "cement": 3.15, "coarse": 2.68, "sand": 2.64}
POUNDS = {"water": 300.0, "cement": 300 / 0.62, "coarse": 0.71 * 27 * 100}
KILOGRAMS = {"water": 181.0, "cement": 181 / 0.62, "coarse": 0.71 * 1600}


def density_kg_m3(material: str, water_kg_m3: float) -> float:
    return density_from_gravity_kg_m3(GRAVITY[material], water_kg_m3=water_kg_m3)


def cubic_feet(material: str) -> float:
    mass_kg = POUNDS[material] * POUND_KG
    return absolute_volume_l(mass_kg, density_kg_m3=density_kg_m3(material, WATER_KG_M3)) / CUBIC_FOOT_L


def cubic_metres(material: str) -> float:
    return absolute_volume_l(KILOGRAMS[material], density_kg_m3=density_kg_m3(material, 1000)) / 1000


def sand_lb() -> float:
    others = [
        Part(mass_kg=pounds * POUND_KG, density_kg_m3=density_kg_m3(material, WATER_KG_M3))
        for material, pounds in POUNDS.items()
    ]
    sand_kg = sand_by_absolute_volume_kg(
        others, volume_l=27 * CUBIC_FOOT_L, air_fraction=0.01, sand_kg_m3=density_kg_m3("sand", WATER_KG_M3)
    )
    return sand_kg / POUND_KG


def sand_kg() -> float:
    others = [
        Part(mass_kg=mass_kg, density_kg_m3=density_kg_m3(material, 1000))
        for material, mass_kg in KILOGRAMS.items()
    ]
    return sand_by_absolute_volume_kg(
        others, volume_l=1000, air_fraction=0.01, sand_kg_m3=density_kg_m3("sand", 1000)
    )


def water_to_add(water: float, coarse: float, sand: float) -> float:
    carried = sand_water_kg(coarse, moisture_fraction=0.02, absorption_fraction=0.005) + sand_water_kg(
        sand, moisture_fraction=0.06, absorption_fraction=0.007
    )
    return water_to_weigh_kg(water_ratio=1, basis_kg=water, carried_kg=carried)


INCH_POUND = "chapter 7, example 1"
METRIC = "metric appendix, example 1"

CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source=SOURCE,
        place=INCH_POUND,
        what="volume of 300 lb water",
        expected=4.81,
        tolerance=0.005,
        unit="ft³",
        compute=lambda: cubic_feet("water"),
    ),
    PublishedCase(
        source=SOURCE,
        place=INCH_POUND,
        what="volume of 484 lb cement, G 3.15",
        expected=2.46,
        tolerance=0.005,
        unit="ft³",
        compute=lambda: cubic_feet("cement"),
    ),
    PublishedCase(
        source=SOURCE,
        place=INCH_POUND,
        what="volume of 1917 lb coarse aggregate, G 2.68",
        expected=11.46,
        tolerance=0.005,
        unit="ft³",
        compute=lambda: cubic_feet("coarse"),
    ),
    PublishedCase(
        source=SOURCE,
        place=INCH_POUND,
        what="sand by absolute volume, air 1 %",
        expected=1318,
        tolerance=0.8,
        unit="lb",
        compute=sand_lb,
    ),
    PublishedCase(
        source=SOURCE,
        place=INCH_POUND,
        what="wet coarse aggregate, 1917 lb at 2 %",
        expected=1955,
        tolerance=0.5,
        unit="lb",
        compute=lambda: moist_sand_kg(1917, moisture_fraction=0.02),
    ),
    PublishedCase(
        source=SOURCE,
        place=INCH_POUND,
        what="wet sand, 1369 lb at 6 %",
        expected=1451,
        tolerance=0.5,
        unit="lb",
        compute=lambda: moist_sand_kg(1369, moisture_fraction=0.06),
    ),
    PublishedCase(
        source=SOURCE,
        place=INCH_POUND,
        what="water to add once the aggregates' free water is off",
        expected=199,
        tolerance=0.5,
        unit="lb",
        compute=lambda: water_to_add(300, 1917, 1369),
    ),
    PublishedCase(
        source=SOURCE,
        place=METRIC,
        what="volume of 292 kg cement, G 3.15",
        expected=0.093,
        tolerance=0.0005,
        unit="m³",
        compute=lambda: cubic_metres("cement"),
    ),
    PublishedCase(
        source=SOURCE,
        place=METRIC,
        what="volume of 1136 kg coarse aggregate, G 2.68",
        expected=0.424,
        tolerance=0.0005,
        unit="m³",
        compute=lambda: cubic_metres("coarse"),
    ),
    PublishedCase(
        source=SOURCE,
        place=METRIC,
        what="sand by absolute volume, air 1 %",
        expected=771,
        tolerance=1.3,
        unit="kg",
        compute=sand_kg,
    ),
    PublishedCase(
        source=SOURCE,
        place=METRIC,
        what="wet coarse aggregate, 1136 kg at 2 %",
        expected=1159,
        tolerance=0.5,
        unit="kg",
        compute=lambda: moist_sand_kg(1136, moisture_fraction=0.02),
    ),
    PublishedCase(
        source=SOURCE,
        place=METRIC,
        what="wet sand, 801 kg at 6 %",
        expected=849,
        tolerance=0.5,
        unit="kg",
        compute=lambda: moist_sand_kg(801, moisture_fraction=0.06),
    ),
    PublishedCase(
        source=SOURCE,
        place=METRIC,
        what="water to add once the aggregates' free water is off",
        expected=122,
        tolerance=0.5,
        unit="kg",
        compute=lambda: water_to_add(181, 1136, 801),
    ),
)
