"""A rescue bag: dry blend with its pigment, kept by for a mix that turns out too wet."""

from collections.abc import Mapping
from fractions import Fraction

from mixstation.frozen import Frozen
from mixstation.recipe.model import Recipe, Role

LEAST_FRACTION = Fraction(5, 100)
MOST_FRACTION = Fraction(10, 100)
"""Of one bucket's powders. Source: Common practice, no source."""


class RescuePart(Frozen):
    """One material of the bag, milligrams, in whole divisions."""

    material: str
    least_mg: int
    most_mg: int


class RescueBag(Frozen):
    """What to weigh out and keep dry.

    Attributes:
        parts: Powders and dry pigments in the recipe's order.
        apart: Keys of liquid pigments, to be kept beside the bag in the same share.
    """

    parts: tuple[RescuePart, ...]
    apart: tuple[str, ...]


def rescue_bag(recipe: Recipe, bucket_mg: Mapping[str, int], divisions_mg: Mapping[str, int]) -> RescueBag:
    """A bag for one bucket: 5 to 10 % of its powders with their pigment; what rounds to nothing is left out.

    Source: Common practice, no source.
    """
    parts, apart = [], []
    for material in recipe.materials:
        mass_mg = bucket_mg.get(material.key, 0)
        if not material.is_powder and material.role is not Role.PIGMENT:
            continue
        if material.role is Role.PIGMENT and material.water_fraction > 0:
            apart.append(material.key)
            continue
        division_mg = divisions_mg[material.key]
        least, most = (
            round(mass_mg * share / division_mg) * division_mg for share in (LEAST_FRACTION, MOST_FRACTION)
        )
        if most:
            parts.append(RescuePart(material=material.key, least_mg=least, most_mg=most))
    return RescueBag(parts=tuple(parts), apart=tuple(apart))
