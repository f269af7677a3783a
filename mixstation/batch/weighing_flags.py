"""Flags on the weighing: doses too small for the scale, tubs not weighed back, a bucket that disagrees."""

from collections.abc import Iterator
from fractions import Fraction

from mixstation.batch.dosing import Dosing
from mixstation.batch.events import MaterialRemoved, PortionTaken, ReferenceTaken, WeightRecorded
from mixstation.batch.flag import weighing
from mixstation.batch.reconcile import allowed_mg
from mixstation.batch.run import Run
from mixstation.plan.dosing import shares_of, smallest_dose_mg, tolerance_fraction
from mixstation.recipe.model import ReleaseStep


def weighing_flags(run: Run, dosing: Dosing | None, division_mg: int) -> Iterator[weighing.WeighingFlags]:
    """A dose too small for the scale, and tubs not weighed back."""
    if dosing is not None and dosing.exact_mg > 0:
        division_mg = run.division_of(dosing.material, division_mg)
        least = _least_mg(run, dosing.material, division_mg)
        due = dosing.exact_mg + run.content[dosing.material]
        if dosing.target_mg == 0:
            yield weighing.DoseBelowDivision(
                material=dosing.material, dose_mg=dosing.exact_mg, division_mg=division_mg
            )
        elif due < least and not isinstance(run.step, ReleaseStep):
            yield weighing.DoseSmallForScale(
                material=dosing.material, dose_mg=dosing.exact_mg, division_mg=division_mg, least_mg=least
            )
    for entry in run.live:
        fact = entry.fact
        if isinstance(fact, WeightRecorded) and fact.weighing == "tub" and fact.residue_mg is None:
            yield weighing.TubNotWeighedBack(material=fact.material)


def _least_mg(run: Run, key: str, division_mg: int) -> int:
    """Least mass of a material that this scale can weigh to its tolerance, by the plan's own rule."""
    return smallest_dose_mg(
        division_mg,
        tolerance=tolerance_fraction(run.recipe.material(key).tolerance),
        weighings_count=len(shares_of(run.recipe, key)),
    )


def reconciliation_flags(run: Run) -> Iterator[weighing.BucketHeavier | weighing.BucketLighter]:
    """With the bucket on the scale, the gross must be the tare plus what was entered.

    What is entered afterwards outside the steps is taken to explain a difference where it makes it smaller; the next
    reading tells.
    """
    tare: Fraction | None = None
    inside = Fraction(0)
    difference = allowed = Fraction(0)
    for entry in run.live:
        fact = entry.fact
        if isinstance(fact, WeightRecorded | MaterialRemoved | PortionTaken):
            moved = fact.mass_mg if isinstance(fact, WeightRecorded) else -fact.mass_mg
            inside += moved
            if fact.step is None and abs(difference - moved) < abs(difference):
                difference -= moved
        elif isinstance(fact, ReferenceTaken) and fact.weighing == "bucket":
            rezeroed = abs(fact.gross_mg) <= 2 * fact.division_mg and inside > 0
            if tare is None or rezeroed:
                tare, difference = fact.gross_mg - inside, Fraction(0)
                continue
            difference = fact.gross_mg - tare - inside
            allowed = allowed_mg(inside, fact.division_mg)
    if tare is not None and abs(difference) > allowed:
        kind = weighing.BucketHeavier if difference > 0 else weighing.BucketLighter
        yield kind(by_mg=abs(difference))


def reconciliation_mg(run: Run) -> int | None:
    """How much heavier (or, negative, lighter) the bucket is than the entries, or None within the uncertainty."""
    for flag in reconciliation_flags(run):
        return round(flag.by_mg) if isinstance(flag, weighing.BucketHeavier) else -round(flag.by_mg)
    return None
