"""Absolute volume: how much room a batch takes.

A material's absolute volume is its mass over its own density, without the voids between grains. By convention a
specific gravity stands on water of 1000 kg/m³ (62.4 lb/ft³ in inch-pound work).
"""

from collections.abc import Iterable

from mixstation.frozen import dataclass
from mixstation.proportion.error import ProportionError, need_between, need_not_negative, need_positive

WATER_KG_M3 = 1000.0
"""Density of water that specific gravities stand on. Source: ACI 211.1-91, convention, from memory."""

CLAIM_LIMIT_FRACTION = 0.05
"""A claimed yield farther than this from absolute volume is contradicted. Source: Choice: above the spread that
unknown air and rounded densities leave."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A mass of one material with its own density.

    Attributes:
        mass_kg: Mass, 0 or more.
        density_kg_m3: Density of the material itself, above 0.
    """

    mass_kg: float
    density_kg_m3: float


def density_from_gravity_kg_m3(gravity_ratio: float, *, water_kg_m3: float = WATER_KG_M3) -> float:
    """Density of a material from its specific gravity.

    Args:
        gravity_ratio: Specific gravity, above 0.
        water_kg_m3: Density of water the specific gravity stands on, above 0.

    Returns:
        Density in kg/m³.

    Raises:
        ProportionError: "not-finite", "not-positive".

    Source:
        Definition.

    Example:
        >>> density_from_gravity_kg_m3(3.15)
        3150.0
    """
    need_positive(gravity_ratio=gravity_ratio, water_kg_m3=water_kg_m3)
    return gravity_ratio * water_kg_m3


def absolute_volume_l(mass_kg: float, *, density_kg_m3: float) -> float:
    """Volume a material takes in the mix.

    Args:
        mass_kg: Mass, 0 or more.
        density_kg_m3: Density of the material itself, above 0.

    Returns:
        Volume in litres.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive".

    Source:
        ACI 211.1-91 section 6.3.7.2, from memory.

    Example:
        >>> absolute_volume_l(5.3, density_kg_m3=2650)
        2.0
    """
    need_not_negative(mass_kg=mass_kg)
    need_positive(density_kg_m3=density_kg_m3)
    return mass_kg / density_kg_m3 * 1000


def batch_volume_l(parts: Iterable[Part], *, air_fraction: float = 0.0) -> float:
    """Volume of a batch, air included.

    Args:
        parts: Everything that goes in.
        air_fraction: Air over batch volume, 0 to 0.5.

    Returns:
        Volume in litres.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive", "out-of-range".

    Source:
        ACI 211.1-91 section 6.3.7.2, from memory.
    """
    need_between(0, 0.5, air_fraction=air_fraction)
    solid_l = sum(absolute_volume_l(part.mass_kg, density_kg_m3=part.density_kg_m3) for part in parts)
    return solid_l / (1 - air_fraction)


def fresh_density_kg_m3(parts: Iterable[Part], *, air_fraction: float = 0.0) -> float:
    """Density of the fresh mix; without air it is the air-free density T of ASTM C138.

    Args:
        parts: Everything that goes in, of more than no mass.
        air_fraction: Air over batch volume, 0 to 0.5.

    Returns:
        Density in kg/m³.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive", "out-of-range".

    Source:
        ASTM C138, theoretical density, from memory.

    Example:
        >>> mix = [Part(mass_kg=3.15, density_kg_m3=3150), Part(mass_kg=1, density_kg_m3=1000)]
        >>> fresh_density_kg_m3(mix)
        2075.0
    """
    held = tuple(parts)
    total_kg = sum(part.mass_kg for part in held)
    need_positive(total_kg=total_kg)
    return total_kg / batch_volume_l(held, air_fraction=air_fraction) * 1000


def sand_by_absolute_volume_kg(
    others: Iterable[Part], *, volume_l: float, air_fraction: float, sand_kg_m3: float
) -> float:
    """Sand that fills what the other materials and the air leave of a wanted volume.

    Args:
        others: Everything but the sand.
        volume_l: Volume wanted, above 0.
        air_fraction: Air over the volume wanted, 0 to 0.5.
        sand_kg_m3: Density of the sand itself, above 0.

    Returns:
        Sand in kg, 0 or more.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive", "out-of-range", "no-room-for-sand" with the
            litres the others take and the litres there are.

    Source:
        ACI 211.1-91 section 6.3.7.2, from memory.
    """
    need_positive(volume_l=volume_l, sand_kg_m3=sand_kg_m3)
    need_between(0, 0.5, air_fraction=air_fraction)
    taken_l = batch_volume_l(others) + air_fraction * volume_l
    if taken_l > volume_l:
        raise ProportionError("no-room-for-sand", taken_l=taken_l, volume_l=volume_l)
    return (volume_l - taken_l) * sand_kg_m3 / 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimedYield:
    """A yield printed on a bag or in a recipe, held against absolute volume.

    Attributes:
        implied_kg_m3: Density the claim implies.
        computed_l: Volume by absolute volume.
        deviation_fraction: Claimed over computed volume, less 1; negative where the claim is too small.
        contradicted: Whether the deviation exceeds `CLAIM_LIMIT_FRACTION` either way.
    """

    implied_kg_m3: float
    computed_l: float
    deviation_fraction: float
    contradicted: bool


def claimed_yield(parts: Iterable[Part], *, claimed_l: float, air_fraction: float) -> ClaimedYield:
    """Hold a claimed yield against absolute volume.

    Args:
        parts: Everything that goes in, of more than no mass.
        claimed_l: Volume claimed, above 0.
        air_fraction: Air assumed over batch volume, 0 to 0.5.

    Returns:
        The comparison.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive", "out-of-range".

    Source:
        ACI 211.1-91 section 6.3.7.2, from memory; the limit is a Choice, see `CLAIM_LIMIT_FRACTION`.
    """
    held = tuple(parts)
    total_kg = sum(part.mass_kg for part in held)
    need_positive(claimed_l=claimed_l, total_kg=total_kg)
    computed_l = batch_volume_l(held, air_fraction=air_fraction)
    deviation_fraction = claimed_l / computed_l - 1
    return ClaimedYield(
        implied_kg_m3=total_kg / claimed_l * 1000,
        computed_l=computed_l,
        deviation_fraction=deviation_fraction,
        contradicted=abs(deviation_fraction) > CLAIM_LIMIT_FRACTION,
    )
