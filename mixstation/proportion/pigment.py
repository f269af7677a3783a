"""Pigment: how much the cement takes."""

from collections.abc import Sequence

from mixstation.frozen import dataclass
from mixstation.proportion.error import need_between, need_not_negative, need_positive

TOTAL_CAP_FRACTION = 0.10
"""Largest pigment over cement, all pigments together. Source: ASTM C979/C979M-16, section 1.4."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PigmentDose:
    """One pigment of a blend.

    Attributes:
        name: How the recipe calls it.
        mass_kg: Pigment itself, without the water of a liquid pigment, 0 or more.
        max_fraction: Its own cap over cement from its maker, 0 to 1; None where none is stated.
    """

    name: str
    mass_kg: float
    max_fraction: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PigmentCheck:
    """A blend held against its cap.

    Attributes:
        total_fraction: All pigment over cement.
        cap_fraction: Largest total allowed.
        capped_by: Name of the pigment whose own cap rules; None where the general cap does.
        over_kg: Pigment beyond the cap, 0 or more.
    """

    total_fraction: float
    cap_fraction: float
    capped_by: str | None
    over_kg: float


def check_pigment(doses: Sequence[PigmentDose], *, cement_kg: float) -> PigmentCheck:
    """Hold a pigment or a blend against its cap.

    The total of a blend may not pass 10 % of cement nor the own cap of any pigment in it.

    Args:
        doses: The pigments; one of no mass sets no cap.
        cement_kg: Cement, above 0. Where a blend's cement is unknown give its powder, and say so.

    Returns:
        The comparison.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive", "out-of-range".

    Source:
        ASTM C979/C979M-16, section 1.4.

    Example:
        >>> doses = [PigmentDose(name="ochre", mass_kg=0.5, max_fraction=0.06)]
        >>> check = check_pigment(doses, cement_kg=8)
        >>> check.total_fraction, check.cap_fraction, round(check.over_kg, 6)
        (0.0625, 0.06, 0.02)
    """
    need_positive(cement_kg=cement_kg)
    cap_fraction, capped_by = TOTAL_CAP_FRACTION, None
    total_kg = 0.0
    for dose in doses:
        need_not_negative(mass_kg=dose.mass_kg)
        total_kg += dose.mass_kg
        if dose.max_fraction is None:
            continue
        need_between(0, 1, max_fraction=dose.max_fraction)
        if dose.mass_kg > 0 and dose.max_fraction < cap_fraction:
            cap_fraction, capped_by = dose.max_fraction, dose.name
    return PigmentCheck(
        total_fraction=total_kg / cement_kg,
        cap_fraction=cap_fraction,
        capped_by=capped_by,
        over_kg=max(0.0, total_kg - cap_fraction * cement_kg),
    )
