"""Where a batch may end: the band of the water ratio, of each dose, of each powder, as lines in the masses.

Rules: an end of a band is `fraction × basis + slack`, so that it is a straight line in the weighed masses and the
same object serves the solver and the check. A band that only a tolerance makes is never narrower than half a
division either way: the scale cannot be held to less. A recipe's own band and a cap are kept to the letter.
"""

from collections.abc import Mapping
from fractions import Fraction

from mixstation.batch.flag import KINDS
from mixstation.batch.flag.kind import Reach
from mixstation.batch.run import Run
from mixstation.batch.targets import Projection, dose_now
from mixstation.batch.uncertainty import ratio_uncertainty
from mixstation.frozen import Frozen
from mixstation.recipe.model import Basis, Cap, Dose, Material
from mixstation.recipe.proportions import basis_mass


def accepted(run: Run, end: Reach, material: str) -> bool:
    """Whether a flag was left standing with which this end of a band reaches as far as the batch stands."""
    return any(run.gave_up(kind.code, material) for kind in KINDS if kind.reach == end)


class End(Frozen):
    """One end of a band: `fraction` of the basis, and `slack_mg` more (or less, at a lower end)."""

    fraction: Fraction
    slack_mg: Fraction = Fraction(0)


class DoseBand(Frozen):
    """Where one dose may end, on its own count and basis.

    Attributes:
        counted: What one unit of weighed mass counts.
        fine_mg: How near the target whole divisions can be brought, as counted mass.
        half_mg: Half the width of the band, as counted mass at the planned size; the yardstick of deviations.
        tolerance_mg: Counted mass off the target that passes as on target.
    """

    of: Basis
    counted: Fraction
    target: Fraction
    low: End | None
    high: End | None
    cap: Cap | None
    fine_mg: Fraction
    half_mg: Fraction
    tolerance_mg: Fraction


class PowderBand(Frozen):
    """Where a powder may end for a batch of some size, the size being 1 for the batch as it was started.

    Attributes:
        size_mg: Weighed mass at size 1.
        low: Least for a size, as a fraction of `size_mg` times the size.
        fine_mg: Half a division.
        half_mg: Half the width at size 1.
    """

    size_mg: Fraction
    low: End
    high: End
    fine_mg: Fraction
    half_mg: Fraction


class WaterBand(Frozen):
    """Where the water ratio may end.

    Attributes:
        guard: Kept away from either end where it can be, so that the scale can tell the ratio is inside.
        fine_mg: How near the target whole divisions can be brought, as mass of water.
        half_mg: Half the width, as mass of water at the planned size.
        tolerance_mg: Water off the target that passes as on target.
    """

    of: Basis
    target: Fraction
    least: Fraction
    most: Fraction
    guard: Fraction
    fine_mg: Fraction
    half_mg: Fraction
    tolerance_mg: Fraction


def dose_band(
    run: Run, material: Material, projection: Projection, divisions_mg: Mapping[str, int]
) -> DoseBand | None:
    """The band of a dose, or None where nothing in the batch makes up its basis."""
    dose = material.dose
    if dose is None:
        return None
    masses = projection.finals
    basis = basis_mass(run.recipe, masses, dose.of)
    if not basis:
        return None
    counted = material.counted_share
    aimed = {aim.material: aim.fraction for aim in run.start.aim.doses}
    target = aimed.get(material.key, Fraction(0))
    division = divisions_mg[material.key] * counted
    low, high = _dose_ends(dose, material, target, division, basis)
    stands = dose_now(run.recipe, material, masses)
    if high is not None and accepted(run, "dose-most", material.key) and stands is not None:
        high = End(fraction=max(high.fraction, stands), slack_mg=high.slack_mg)
    if low is not None and accepted(run, "dose-least", material.key) and stands is not None:
        low = End(fraction=min(low.fraction, stands), slack_mg=low.slack_mg)
    fine = (division + target * _powder_step(run, divisions_mg, dose.of)) / 2
    width = Fraction(0)
    if low is not None and high is not None:
        width = (high.fraction - low.fraction) * basis + high.slack_mg + low.slack_mg
    tolerance = max(material.tolerance.over, material.tolerance.under) * target * basis
    return DoseBand(
        of=dose.of,
        counted=counted,
        target=target,
        low=low,
        high=high,
        cap=material.cap,
        fine_mg=fine,
        half_mg=max(width / 2, fine),
        tolerance_mg=max(tolerance, fine),
    )


def _dose_ends(
    dose: Dose, material: Material, target: Fraction, division: Fraction, basis: Fraction
) -> tuple[End | None, End | None]:
    if not target:
        return None, None if dose.most is None else End(fraction=dose.most)
    if dose.least is not None:
        low = End(fraction=min(dose.least, target))
    else:
        low = _by_tolerance(target, -material.tolerance.under, division, basis)
    if dose.most is not None:
        high = End(fraction=max(dose.most, target))
    else:
        high = _by_tolerance(target, material.tolerance.over, division, basis)
    return low, high


def _by_tolerance(target: Fraction, tolerance: Fraction, division: Fraction, basis: Fraction) -> End:
    if abs(tolerance) * target * basis < division / 2:
        return End(fraction=target, slack_mg=division / 2)
    return End(fraction=target * (1 + tolerance))


def powder_band(material: Material, size_mg: Fraction, division_mg: int) -> PowderBand:
    """The band of a powder; `size_mg` above 0."""
    one, division = Fraction(1), Fraction(division_mg)
    low = _by_tolerance(one, -material.tolerance.under, division, size_mg)
    high = _by_tolerance(one, material.tolerance.over, division, size_mg)
    width = (high.fraction - low.fraction) * size_mg + high.slack_mg + low.slack_mg
    return PowderBand(
        size_mg=size_mg, low=low, high=high, fine_mg=division / 2, half_mg=max(width / 2, division / 2)
    )


def water_band(run: Run, projection: Projection, divisions_mg: Mapping[str, int]) -> WaterBand | None:
    """The band of the water ratio, or None where nothing in the batch makes up its basis."""
    recipe, rule = run.recipe, run.recipe.water
    basis = basis_mass(recipe, projection.finals, rule.of)
    if not basis or projection.ratio is None:
        return None
    target, water = run.start.aim.water_ratio, recipe.material(recipe.water_key)
    least, most = min(rule.least, target), max(rule.most, target)
    if accepted(run, "water-most", water.key):
        most = max(most, projection.ratio)
    now = projection.ratio_now
    moves_right = run.judged is not None and run.judged.verdict == "right" and not run.pending(water.key)
    if moves_right and now is not None and now < target:
        # The hand has found less water right: growing the batch must not wet it.
        target, least = max(now, least), min(now, least)
    division = Fraction(divisions_mg[water.key])
    fine = (division + target * _powder_step(run, divisions_mg, rule.of)) / 2
    half = max((most - least) * basis / 2, fine)
    unsure = Fraction(2 * ratio_uncertainty(run, projection.finals, divisions_mg))
    tolerance = max(water.tolerance.over, water.tolerance.under) * projection.totals[water.key]
    return WaterBand(
        of=rule.of,
        target=target,
        least=least,
        most=most,
        guard=min(unsure, (most - least) / 4),
        fine_mg=fine,
        half_mg=half,
        tolerance_mg=max(tolerance, fine),
    )


def _powder_step(run: Run, divisions_mg: Mapping[str, int], basis: Basis) -> Fraction:
    """The coarsest step in which a basis can be changed by adding powder."""
    return max(
        (
            divisions_mg[material.key] * material.basis_share(basis)
            for material in run.recipe.materials
            if material.is_powder
        ),
        default=Fraction(0),
    )
