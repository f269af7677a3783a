"""All flags that stand on a run, apart from the clock and the live reading; here those on a weighing itself."""

from collections.abc import Iterator

from mixstation.batch.dose_flags import dose_flags, room_flags, water_flags
from mixstation.batch.dosing import Dosing
from mixstation.batch.events import KeyPressed, WeightRecorded
from mixstation.batch.flag import Flag, in_order, weighing
from mixstation.batch.reconcile import reconciliation_flags
from mixstation.batch.run import Run
from mixstation.batch.targets import Projection
from mixstation.batch.work_flags import temperature_flags, work_flags
from mixstation.plan.dosing import shares_of, smallest_dose_mg, tolerance_fraction
from mixstation.recipe.model import ReleaseStep


def standing_flags(
    run: Run, projection: Projection, dosing: Dosing | None, division_mg: int
) -> tuple[Flag, ...]:
    """All flags that do not depend on the clock or on the live reading, gravest first."""
    found = [
        *water_flags(run, projection),
        *dose_flags(run, projection),
        *work_flags(run),
        *room_flags(run, projection),
        *weighing_flags(run, dosing, division_mg),
        *temperature_flags(run),
        *reconciliation_flags(run),
    ]
    return in_order([flag for flag in found if not run.gave_up(flag.code, flag.about)])


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
        if isinstance(fact, KeyPressed) and fact.step is not None and fact.step in run.references:
            yield weighing.ScaleKeyPressed(key=fact.key, counted_mg=fact.counted_mg, unsure_mg=fact.unsure_mg)
        if isinstance(fact, WeightRecorded) and fact.weighing == "tub" and fact.residue_mg is None:
            yield weighing.TubNotWeighedBack(material=fact.material)


def _least_mg(run: Run, key: str, division_mg: int) -> int:
    """Least mass of a material that this scale can weigh to its tolerance, by the plan's own rule."""
    return smallest_dose_mg(
        division_mg,
        tolerance=tolerance_fraction(run.recipe.material(key).tolerance),
        weighings_count=len(shares_of(run.recipe, key)),
    )
