"""Pigment: how much the cement takes."""

from collections.abc import Iterable
from fractions import Fraction

from mixstation.proportion.error import need_not_negative

TOTAL_CAP_FRACTION = Fraction(10, 100)
"""Largest pigment over cement, all pigments together. Source: ASTM C979/C979M-16, section 1.4."""


def most_pigment_mg(cement_mg: Fraction | int, own_limits_mg: Iterable[Fraction] = ()) -> Fraction:
    """Most pigment a mix may hold, all pigments of its blend together and dry.

    Args:
        cement_mg: Cement, milligrams, 0 or more. Where a blend's cement is unknown give its powder, and say so.
        own_limits_mg: What each pigment of the blend is held to by its own maker, milligrams; none for one that has no
            limit of its own.

    Returns:
        Milligrams: 10 % of the cement, and no more than any pigment of the blend allows by itself.

    Source: ASTM C979/C979M-16, section 1.4.

    Example:
        >>> most_pigment_mg(8_000_000, [Fraction(480_000)])
        Fraction(480000, 1)
    """
    need_not_negative(cement_mg=float(cement_mg))
    limits_mg = [TOTAL_CAP_FRACTION * cement_mg, *own_limits_mg]
    for limit_mg in limits_mg:
        need_not_negative(limit_mg=float(limit_mg))
    return min(limits_mg)
