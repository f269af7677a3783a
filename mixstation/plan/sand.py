"""Moisture of sand, measured in a pan or given, put into the recipe."""

from dataclasses import replace
from fractions import Fraction
from typing import Literal

from mixstation.plan.faults import MoistureRange, NotSand, PanTest, refused
from mixstation.recipe.model import Recipe, Role
from mixstation.units.plausible import RANGES

MAX_MOISTURE = RANGES["moisture"].most


def moisture_by_pan(wet_mg: int, dry_mg: int) -> Fraction:
    """Total moisture of sand over its dry mass: weighed as it is, dried in a pan to constant mass, weighed again.

    Args:
        dry_mg: Net mass after drying, above 0, at most the wet mass.

    Raises:
        PlanRefused: "pan-test" with both masses.

    Source: ASTM C566, total evaporable moisture of aggregate by drying.

    Example:
        >>> moisture_by_pan(515_000, 500_000)
        Fraction(3, 100)
    """
    if not 0 < dry_mg <= wet_mg:
        raise refused(PanTest(wet_mg=wet_mg, dry_mg=dry_mg))
    return Fraction(wet_mg - dry_mg, dry_mg)


def with_moisture(
    recipe: Recipe, key: str, fraction: Fraction, kind: Literal["total", "free"] = "total"
) -> Recipe:
    """The recipe with another moisture of one sand; sand and water to weigh follow from it.

    Args:
        fraction: Moisture of its dry mass, 0 to 0.30.
        kind: "total" as from a pan test, or "free" surface moisture, already net of absorption.

    Raises:
        PlanRefused: "not-sand", "moisture-range".

    Source: ACI 211.1-91 section 6.3.8, from memory.
    """
    sands = [material.key for material in recipe.materials if material.role is Role.SAND]
    if key not in sands:
        raise refused(NotSand(asked=key, known=", ".join(sands)))
    sand = recipe.material(key)
    total = fraction + sand.absorption_fraction if kind == "free" else fraction
    if fraction < 0 or total > MAX_MOISTURE:
        raise refused(MoistureRange(material=key, found_fraction=fraction, limit_fraction=MAX_MOISTURE))
    damp = replace(sand, moisture_fraction=total)
    materials = tuple(damp if material.key == key else material for material in recipe.materials)
    return replace(recipe, materials=materials)
