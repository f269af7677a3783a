"""ACI 211.1-91, the first worked example, planned as a recipe [mem].

Chapter 7, example 1 (inch-pound), as in `aci_211_1.py`, but sent through a recipe and a plan: proportions as parts,
damp aggregates, air. Read from memory of the document and recomputed; not read in print. Tolerance: half the last
printed figure for masses; for the volume of the batch what rounding the four printed volumes to 0.01 ft³ can add up
to.
"""

from fractions import Fraction

from mixstation.plan.batch_size import powder_for_material, size_for_volume, volume_l
from mixstation.recipe.model import Basis, Material, Recipe, Role, Tolerance, WaterRule
from mixstation.recipe.proportions import totals_for_powder
from tests.published.case import PublishedCase

SOURCE = "ACI 211.1-91 [mem]"
PLACE = "chapter 7, example 1, planned"
POUND_MG = Fraction(45_359_237, 100)
CUBIC_FOOT_L = 28.316846592
WATER_KG_M3 = 62.4 * 0.45359237 / CUBIC_FOOT_L * 1000
NO_TOLERANCE = Tolerance(under=Fraction(1, 100), over=Fraction(1, 100))


def aggregate(key: str, parts: int, gravity: float, moisture: str, absorption: str) -> Material:
    return Material(
        key=key,
        name=key,
        role=Role.SAND,
        tolerance=NO_TOLERANCE,
        density_kg_m3=gravity * WATER_KG_M3,
        parts=Fraction(parts),
        moisture_fraction=Fraction(moisture),
        absorption_fraction=Fraction(absorption),
        cement_fraction=Fraction(0),
        binder_fraction=Fraction(0),
    )


def concrete(*, sand_parts: int, damp: bool) -> Recipe:
    water = Material(
        key="water",
        name="water",
        role=Role.WATER,
        tolerance=NO_TOLERANCE,
        density_kg_m3=WATER_KG_M3,
        water_fraction=Fraction(1),
    )
    cement = Material(
        key="cement",
        name="cement",
        role=Role.CEMENT,
        tolerance=NO_TOLERANCE,
        density_kg_m3=3.15 * WATER_KG_M3,
        parts=Fraction(484),
        cement_fraction=Fraction(1),
        binder_fraction=Fraction(1),
    )
    ratio = Fraction(300, 484)
    return Recipe(
        key="example",
        name="example",
        revision="",
        water=WaterRule(of=Basis.CEMENT, target=ratio, least=ratio, most=ratio, ceiling=ratio),
        materials=(
            water,
            cement,
            aggregate("coarse", 1917, 2.68, "0.02" if damp else "0", "0.005" if damp else "0"),
            aggregate("sand", sand_parts, 2.64, "0.06" if damp else "0", "0.007" if damp else "0"),
        ),
        steps=(),
        air_fraction=Fraction(1, 100),
        working_min=60,
    )


def batch_ft3() -> float:
    recipe = concrete(sand_parts=1318, damp=False)
    powder = powder_for_material(recipe, "cement", 484 * POUND_MG)
    return volume_l(recipe, totals_for_powder(recipe, powder)) / CUBIC_FOOT_L


def sand_for_a_cubic_yard_lb() -> float:
    recipe = concrete(sand_parts=1318, damp=False)
    size = size_for_volume(recipe, face_l=0, rest_l=27 * CUBIC_FOOT_L, bucket_count=1)
    return float(totals_for_powder(recipe, size.powder_dry_mg)["sand"] / POUND_MG)


def damp_lb(key: str) -> float:
    recipe = concrete(sand_parts=1369, damp=True)
    powder = powder_for_material(recipe, "cement", 484 * POUND_MG)
    return float(totals_for_powder(recipe, powder)[key] / POUND_MG)


CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="volume of the batch with 1 % air",
        expected=27.0,
        tolerance=0.02,
        unit="ft³",
        compute=batch_ft3,
        figure="through the plan",
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="sand for one cubic yard",
        expected=1318,
        tolerance=0.8,
        unit="lb",
        compute=sand_for_a_cubic_yard_lb,
        figure="through the plan",
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="wet coarse aggregate at 2 %",
        expected=1955,
        tolerance=0.5,
        unit="lb",
        compute=lambda: damp_lb("coarse"),
        figure="through the plan",
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="wet sand at 6 %",
        expected=1451,
        tolerance=0.5,
        unit="lb",
        compute=lambda: damp_lb("sand"),
        figure="through the plan",
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="water to add once the aggregates' free water is off",
        expected=199,
        tolerance=0.5,
        unit="lb",
        compute=lambda: damp_lb("water"),
        figure="through the plan",
    ),
)
