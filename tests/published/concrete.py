"""A mix of a concrete handbook as a recipe of this program, so that its printed masses go the way a maker's do."""

from fractions import Fraction

from mixstation.plan.batch_size import powder_for_material, size_for_volume
from mixstation.recipe.model import Basis, Material, Recipe, Role, Tolerance, WaterRule
from mixstation.recipe.proportions import Masses, totals_for_powder

POUND_MG = Fraction(45_359_237, 100)
KILOGRAM_MG = Fraction(1_000_000)
CUBIC_FOOT_L = 28.316846592
YARD_L = 27 * CUBIC_FOOT_L
# 62.4 lb/ft³, on which specific gravities stand in inch-pound work.
WATER_KG_M3 = 62.4 * 0.45359237 / CUBIC_FOOT_L * 1000
EVEN = Tolerance(under=Fraction(1, 100), over=Fraction(1, 100))


def powder(
    key: str, parts: Fraction | int, density_kg_m3: float, *, moisture: str = "0", absorption: str = "0"
) -> Material:
    """Cement by its name, else an aggregate."""
    is_cement = key == "cement"
    return Material(
        key=key,
        name=key,
        role=Role.CEMENT if is_cement else Role.SAND,
        tolerance=EVEN,
        density_kg_m3=density_kg_m3,
        parts=Fraction(parts),
        moisture_fraction=Fraction(moisture),
        absorption_fraction=Fraction(absorption),
        cement_fraction=Fraction(is_cement),
        binder_fraction=Fraction(is_cement),
    )


def concrete(*powders: Material, water_parts: Fraction | int, water_kg_m3: float, air: str = "0") -> Recipe:
    """Dry powders in parts of mass, and all the free water in the same parts."""
    ratio = Fraction(water_parts) / sum((p.parts or 0 for p in powders), Fraction(0))
    water = Material(
        key="water",
        name="water",
        role=Role.WATER,
        tolerance=EVEN,
        density_kg_m3=water_kg_m3,
        water_fraction=Fraction(1),
    )
    return Recipe(
        key="printed",
        name="printed",
        revision="",
        water=WaterRule(of=Basis.POWDER, target=ratio, least=ratio, most=ratio, ceiling=ratio),
        materials=(water, *powders),
        steps=(),
        air_fraction=Fraction(air),
        working_min=60,
    )


def with_cement(recipe: Recipe, cement_mg: Fraction) -> Masses:
    """What is weighed of everything for so much cement."""
    return totals_for_powder(recipe, powder_for_material(recipe, "cement", cement_mg))


def for_volume(recipe: Recipe, litres: float) -> Masses:
    """What is weighed of everything for a volume."""
    size = size_for_volume(recipe, face_l=0, rest_l=litres, bucket_count=1)
    return totals_for_powder(recipe, size.powder_dry_mg)
