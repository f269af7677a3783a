"""What is wrong, or might be, apart from the clock and the live reading: all flags that stand on a run."""

from mixstation.batch.dose_flags import dose_flags, room_flags, water_flags
from mixstation.batch.dosing import Dosing
from mixstation.batch.flag import Flag, in_order
from mixstation.batch.run import Run
from mixstation.batch.targets import Projection
from mixstation.batch.weighing_flags import reconciliation_flags, weighing_flags
from mixstation.batch.work_flags import temperature_flags, work_flags


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
