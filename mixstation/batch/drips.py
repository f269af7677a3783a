"""What comes onto the scale between two pours: drops of the last dose, or the scale itself that wanders."""

from fractions import Fraction
from typing import Final

from mixstation.batch.events import Entry, MovedMass, WeightRecorded
from mixstation.batch.reconcile import expected_gross_mg
from mixstation.batch.run import Run
from mixstation.recipe.model import Role
from mixstation.units.tables import ROUNDING_MG

DRIPS_S: Final = 10.0
"""So long after a dose its last drops fall. Source: Choice: a jug is put down by then, another bag is not yet open."""

MOST_DRIP_MG: Final = 20_000
"""Source: Choice: a few drops from a wide lip; more is a pour."""

LEAST_OF_DOSE: Final = Fraction(1, 20)
"""What is more of the dose that is asked for may be its beginning. Source: Choice."""

LEAST_DOSE_DIVISIONS: Final = 50
"""A dose of fewer is dusted in so slowly that it looks as a scale that wanders. Source: Choice."""

_LIQUID: Final = frozenset({Role.WATER, Role.POLYMER, Role.PLASTICISER, Role.RETARDER})


def last_dose(run: Run) -> Entry | None:
    """The last that moved, where that was a liquid poured into the bucket on the scale; else None."""
    moved = next((entry for entry in reversed(run.live) if isinstance(entry.fact, MovedMass)), None)
    if moved is None or not isinstance(moved.fact, WeightRecorded) or moved.fact.weighing != "bucket":
        return None
    return moved if run.recipe.material(moved.fact.material).role in _LIQUID else None


def dripped_mg(run: Run, gross_mg: int, target_mg: int, division_mg: int, since_s: float) -> int:
    """How much of the last dose fell in after it was booked; 0 where that is not what it was.

    Args:
        gross_mg: What the scale shows, steady.
        target_mg: What is asked for next.
        since_s: How long ago the last dose was booked.
    """
    expected_mg = expected_gross_mg(run)
    if expected_mg is None or last_dose(run) is None or since_s > DRIPS_S:
        return 0
    more_mg = round(gross_mg - expected_mg)
    is_pour = more_mg > MOST_DRIP_MG or more_mg > target_mg * LEAST_OF_DOSE
    return 0 if is_pour or more_mg <= division_mg + ROUNDING_MG else more_mg
