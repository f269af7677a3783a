"""When the reading before a pour is taken by itself: a fresh steady look that fits what the bucket should weigh."""

from mixstation.batch.reconcile import allowed_mg, expected_gross_mg
from mixstation.station.scene import Scene

# Readings after the last booking before the scale is looked at again: a lagging display repeats the old weight.
FRESH_COUNT = 8


def reference_now(scene: Scene, booked_serial: int) -> int | None:
    """The gross to take as the reading before the pour, or None while a person has to say so.

    Args:
        scene: The moment.
        booked_serial: Serial of the newest reading when the last weight was booked.

    Returns:
        Milligrams, only where something is to be weighed on this scale, with the bucket on it, known from an earlier
        pour and as heavy as the entries say.
    """
    standing, run, live = scene.advice.standing, scene.run, scene.live
    step = standing.step
    if standing.phase not in ("pour", "take-out") or run.weighing != "bucket" or step is None:
        return None
    if standing.apart is not None:
        return None
    if (
        not scene.target_mg
        or step.key in run.references
        or live is None
        or live.mass_mg is None
        or live.state != "steady"
    ):
        return None
    if live.serial < booked_serial + FRESH_COUNT:
        return None
    expected = expected_gross_mg(run)
    if expected is None:
        return None
    allowed = allowed_mg(run.in_bucket_mg, live.division_mg)
    return live.mass_mg if abs(live.mass_mg - expected) <= allowed else None
