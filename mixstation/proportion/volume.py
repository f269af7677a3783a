"""Absolute volume: how much room a batch takes.

A material's absolute volume is its mass over its own density, without the voids between grains.
"""

from mixstation.frozen import Frozen
from mixstation.proportion.density import wet_density_kg_m3
from mixstation.proportion.error import need_not_negative, need_positive

CLAIM_LIMIT_FRACTION = 0.05
"""A claimed yield or a measured density farther than this from absolute volume is contradicted. Source: Choice: above
the spread that unknown air and rounded densities leave."""


def absolute_volume_l(mass_kg: float, *, density_kg_m3: float) -> float:
    """Volume a material takes in the mix.

    Args:
        mass_kg: Mass, 0 or more.
        density_kg_m3: Density of the material itself, above 0.

    Source: ACI 211.1-91 section 6.3.7.2, from memory.

    Example:
        >>> absolute_volume_l(5.3, density_kg_m3=2650)
        2.0
    """
    need_not_negative(mass_kg=mass_kg)
    need_positive(density_kg_m3=density_kg_m3)
    return mass_kg / density_kg_m3 * 1000


def volume_with_air_l(solid_l: float, *, air_fraction: float) -> float:
    """Volume of a mix, its air included.

    Args:
        solid_l: Absolute volume of everything in it, litres, 0 or more.
        air_fraction: Air over volume of the mix, 0 to less than 1.

    Source: ACI 211.1-91 section 6.3.7.2, from memory.

    Example:
        >>> volume_with_air_l(9.5, air_fraction=0.05)
        10.0
    """
    need_not_negative(solid_l=solid_l, air_fraction=air_fraction)
    need_positive(without_air_fraction=1 - air_fraction)
    return solid_l / (1 - air_fraction)


class ClaimedYield(Frozen):
    """A yield printed on a bag or in a recipe, held against absolute volume.

    Attributes:
        deviation_fraction: Claimed over computed volume, less 1; negative where the claim is too small.
        contradicted: Whether the deviation exceeds `CLAIM_LIMIT_FRACTION` either way.
    """

    implied_kg_m3: float
    computed_l: float
    deviation_fraction: float
    contradicted: bool


def claimed_yield(mass_kg: float, *, computed_l: float, claimed_l: float) -> ClaimedYield:
    """Hold a claimed yield against absolute volume.

    Args:
        mass_kg: Everything that goes in, above 0.
        computed_l: Its volume by absolute volume, above 0.
        claimed_l: Volume claimed, above 0.

    Source: ACI 211.1-91 section 6.3.7.2, from memory; the limit is a Choice, see `CLAIM_LIMIT_FRACTION`.
    """
    need_positive(computed_l=computed_l)
    deviation_fraction = claimed_l / computed_l - 1
    return ClaimedYield(
        implied_kg_m3=wet_density_kg_m3(mass_kg, volume_l=claimed_l),
        computed_l=computed_l,
        deviation_fraction=deviation_fraction,
        contradicted=abs(deviation_fraction) > CLAIM_LIMIT_FRACTION,
    )
