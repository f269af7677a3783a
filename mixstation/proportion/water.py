"""Water: what other materials bring in, what is left to weigh, and which ratio is meant.

All-in water is the water added as such plus the water inside liquid polymer, liquid admixture and liquid pigment
plus the free moisture on the sand.
"""

from mixstation.frozen import dataclass
from mixstation.proportion.error import (
    ProportionError,
    need_between,
    need_finite,
    need_not_negative,
    need_positive,
)


def liquid_water_kg(mass_kg: float, *, solids_fraction: float) -> float:
    """Water carried by a liquid material.

    Args:
        mass_kg: Mass of the liquid, 0 or more.
        solids_fraction: Solids by mass, 0 to 1.

    Returns:
        Water in kg.

    Raises:
        ProportionError: "not-finite", "negative", "out-of-range".

    Source:
        Definition.

    Example:
        >>> liquid_water_kg(0.8, solids_fraction=0.5)
        0.4
    """
    need_not_negative(mass_kg=mass_kg)
    need_between(0, 1, solids_fraction=solids_fraction)
    return (1 - solids_fraction) * mass_kg


def sand_water_kg(dry_kg: float, *, moisture_fraction: float, absorption_fraction: float) -> float:
    """Free water that sand brings to the mix; negative where it will drink water from it.

    Moisture stated as "free surface moisture" is already net of absorption: give 0 as absorption then.

    Args:
        dry_kg: Oven-dry mass of the sand, 0 or more.
        moisture_fraction: Total moisture over dry mass, 0 to 1.
        absorption_fraction: Absorption over dry mass, 0 to 1.

    Returns:
        Water in kg, of either sign.

    Raises:
        ProportionError: "not-finite", "negative", "out-of-range".

    Source:
        ACI 211.1-91 section 6.3.8, from memory.

    Example:
        >>> round(sand_water_kg(12, moisture_fraction=0.04, absorption_fraction=0.01), 6)
        0.36
    """
    need_not_negative(dry_kg=dry_kg)
    need_between(0, 1, moisture_fraction=moisture_fraction, absorption_fraction=absorption_fraction)
    return dry_kg * (moisture_fraction - absorption_fraction)


def moist_sand_kg(dry_kg: float, *, moisture_fraction: float) -> float:
    """Moist sand to weigh so that a wanted dry mass goes in.

    Args:
        dry_kg: Wanted oven-dry mass, 0 or more.
        moisture_fraction: Total moisture over dry mass, 0 to 1.

    Returns:
        Mass to weigh in kg.

    Raises:
        ProportionError: "not-finite", "negative", "out-of-range".

    Source:
        ACI 211.1-91 section 6.3.8, from memory.

    Example:
        >>> moist_sand_kg(12, moisture_fraction=0.25)
        15.0
    """
    need_not_negative(dry_kg=dry_kg)
    need_between(0, 1, moisture_fraction=moisture_fraction)
    return dry_kg * (1 + moisture_fraction)


def dry_sand_kg(moist_kg: float, *, moisture_fraction: float) -> float:
    """Oven-dry mass inside a mass of moist sand.

    Args:
        moist_kg: Mass as weighed, 0 or more.
        moisture_fraction: Total moisture over dry mass, 0 to 1.

    Returns:
        Dry mass in kg.

    Raises:
        ProportionError: "not-finite", "negative", "out-of-range".

    Source:
        ACI 211.1-91 section 6.3.8, from memory, turned round.
    """
    need_not_negative(moist_kg=moist_kg)
    need_between(0, 1, moisture_fraction=moisture_fraction)
    return moist_kg / (1 + moisture_fraction)


def sand_moisture_fraction(*, wet_kg: float, dry_kg: float) -> float:
    """Total moisture of sand from a pan test: weigh, dry to constant mass, weigh again.

    Args:
        wet_kg: Mass before drying, not below the dry mass.
        dry_kg: Mass after drying, above 0.

    Returns:
        Moisture over dry mass.

    Raises:
        ProportionError: "not-finite", "not-positive", "heavier-after-drying".

    Source:
        ASTM C566, total evaporable moisture of aggregate by drying.

    Example:
        >>> round(sand_moisture_fraction(wet_kg=0.515, dry_kg=0.5), 6)
        0.03
    """
    need_positive(wet_kg=wet_kg, dry_kg=dry_kg)
    if wet_kg < dry_kg:
        raise ProportionError("heavier-after-drying", wet_kg=wet_kg, dry_kg=dry_kg)
    return (wet_kg - dry_kg) / dry_kg


def emulsion_kg(cement_kg: float, *, polymer_fraction: float, solids_fraction: float) -> float:
    """Polymer emulsion that brings a dose of polymer solids on cement.

    Args:
        cement_kg: Cement, 0 or more.
        polymer_fraction: Polymer solids over cement, 0 to 1.
        solids_fraction: Solids of the emulsion by mass, above 0, at most 1.

    Returns:
        Emulsion in kg.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive", "out-of-range".

    Source:
        Definition.

    Example:
        >>> round(emulsion_kg(8, polymer_fraction=0.05, solids_fraction=0.5), 6)
        0.8
    """
    need_not_negative(cement_kg=cement_kg)
    need_positive(solids_fraction=solids_fraction)
    need_between(0, 1, polymer_fraction=polymer_fraction, solids_fraction=solids_fraction)
    return cement_kg * polymer_fraction / solids_fraction


def fibre_kg(slurry_kg: float, *, fibre_fraction: float) -> float:
    """Fibre that makes a wanted share of the whole composite, fibre included.

    Args:
        slurry_kg: Mass of all that is not fibre, 0 or more.
        fibre_fraction: Fibre over slurry plus fibre, 0 to 0.5.

    Returns:
        Fibre in kg.

    Raises:
        ProportionError: "not-finite", "negative", "out-of-range".

    Source:
        Definition. The upper bound is a Choice: no premix comes near it, so more is a slip of the decimal mark.

    Example:
        >>> round(fibre_kg(38.8, fibre_fraction=0.03), 6)
        1.2
    """
    need_not_negative(slurry_kg=slurry_kg)
    need_between(0, 0.5, fibre_fraction=fibre_fraction)
    return slurry_kg * fibre_fraction / (1 - fibre_fraction)


def water_to_weigh_kg(*, water_ratio: float, basis_kg: float, carried_kg: float) -> float:
    """Water left to weigh once what other materials carry is taken off.

    Args:
        water_ratio: All-in water over its basis, 0 or more.
        basis_kg: Mass of the basis (cement, binder or powder), 0 or more.
        carried_kg: Water that other materials bring; negative where sand will drink.

    Returns:
        Water to weigh in kg, 0 or more.

    Raises:
        ProportionError: "not-finite", "negative", "carried-over-total" where the other materials alone bring
            more than the ratio allows, with both masses.

    Source:
        ACI 211.1-91 section 6.3.8, from memory.

    Example:
        >>> round(water_to_weigh_kg(water_ratio=0.36, basis_kg=8, carried_kg=0.4), 6)
        2.48
    """
    need_not_negative(water_ratio=water_ratio, basis_kg=basis_kg)
    need_finite(carried_kg=carried_kg)
    total_kg = water_ratio * basis_kg
    if carried_kg > total_kg:
        raise ProportionError("carried-over-total", carried_kg=carried_kg, total_kg=total_kg)
    return total_kg - carried_kg


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterRatios:
    """One bucket's water, read four ways.

    Attributes:
        added_to_binder_ratio: Water weighed as such over cement plus pozzolan.
        all_to_binder_ratio: All-in water over cement plus pozzolan; the one to steer by.
        added_to_cement_ratio: Water weighed as such over cement.
        all_to_cement_ratio: All-in water over cement.
    """

    added_to_binder_ratio: float
    all_to_binder_ratio: float
    added_to_cement_ratio: float
    all_to_cement_ratio: float


def water_ratios(*, added_kg: float, carried_kg: float, binder_kg: float, cement_kg: float) -> WaterRatios:
    """The four water ratios of one bucket.

    Args:
        added_kg: Water weighed as such, 0 or more.
        carried_kg: Water that other materials bring; negative where sand drinks, never more than was added.
        binder_kg: Cement plus pozzolan, above 0.
        cement_kg: Cement, above 0, at most the binder.

    Returns:
        The ratios, each named by its basis.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive", "cement-over-binder", "water-below-nought".

    Source:
        Definition.

    Example:
        >>> ratios = water_ratios(added_kg=2.4, carried_kg=0.6, binder_kg=10, cement_kg=8)
        >>> ratios.added_to_binder_ratio, ratios.all_to_cement_ratio
        (0.24, 0.375)
    """
    need_not_negative(added_kg=added_kg)
    need_finite(carried_kg=carried_kg)
    need_positive(binder_kg=binder_kg, cement_kg=cement_kg)
    if cement_kg > binder_kg:
        raise ProportionError("cement-over-binder", cement_kg=cement_kg, binder_kg=binder_kg)
    all_kg = added_kg + carried_kg
    if all_kg < 0:
        raise ProportionError("water-below-nought", added_kg=added_kg, carried_kg=carried_kg)
    return WaterRatios(
        added_to_binder_ratio=added_kg / binder_kg,
        all_to_binder_ratio=all_kg / binder_kg,
        added_to_cement_ratio=added_kg / cement_kg,
        all_to_cement_ratio=all_kg / cement_kg,
    )
