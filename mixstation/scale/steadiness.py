"""Whether the weight stands still, from the readings alone.

A scale's own "steady" is checked against its weights, because a display may lag behind the load: it is trusted
only with three readings that agree. Where the scale says nothing, eight must agree, over long enough for a slow
pour to show. A display that repeats one weight for ever cannot be told from a load at rest, and is not claimed to
be: what it shows is steady here, and only a second look after the next pour can tell.
"""

from collections.abc import Sequence
from itertools import pairwise
from statistics import median
from typing import Final, Literal

from mixstation.frozen import Frozen
from mixstation.scale.reading import Reading
from mixstation.units.tables import ROUNDING_MG

SAID_COUNT: Final = 3
UNSAID_COUNT: Final = 8
UNSAID_SPAN_S: Final = 0.6
FLOW_SPAN_S: Final = 0.8
MIN_STALE_S: Final = 1.0
MAX_STALE_S: Final = 5.0
STALE_INTERVAL_COUNT: Final = 4

State = Literal["steady", "moving", "stale", "fault", "none"]


class Steadiness(Frozen):
    """How the weight stands at one moment.

    Attributes:
        state: "steady", "moving", "stale" (no reading for too long), "fault" (the scale shows no weight), "none".
        mass_mg: The newest weight; None under a fault or before the first reading. Not to be used when stale.
        spread_mg: Largest less smallest weight among the readings judged.
        age_s: Since the newest reading; 0 before the first.
        flow_mg_s: Slope of the last 0.8 s, above 0 while more goes on; 0 when it cannot be told.
    """

    state: State
    mass_mg: int | None
    spread_mg: int
    age_s: float
    flow_mg_s: float


def steady(readings: Sequence[Reading], now_s: float) -> Steadiness:
    """Judge recent readings.

    Args:
        readings: Oldest first, as `Link.recent` gives them; of one link.
        now_s: Monotonic seconds, of the same clock as the readings.

    Returns:
        The state. Only readings without a gap, of one unit and one division, are judged together, so that a
        change of either is "moving" until enough of the new kind have come.

    Source: Choice: three and eight readings, 0.6 s, one division; three alone were fooled by lagging displays.
    """
    if not readings:
        return Steadiness(state="none", mass_mg=None, spread_mg=0, age_s=0.0, flow_mg_s=0.0)
    newest = readings[-1]
    age_s = max(0.0, now_s - newest.at_s)
    stale_after_s = _stale_after_s(readings)
    run = _run(readings, stale_after_s)
    judged = _judged(run)
    spread_mg = _spread_mg(judged)
    flow_mg_s = _slope_mg_s([reading for reading in run if newest.at_s - reading.at_s <= FLOW_SPAN_S])
    if age_s > stale_after_s:
        state: State = "stale"
        flow_mg_s = 0.0
    elif newest.fault is not None or newest.mass_mg is None:
        state = "fault"
    else:
        state = "steady" if _stands(newest, judged, spread_mg) else "moving"
    return Steadiness(
        state=state, mass_mg=newest.mass_mg, spread_mg=spread_mg, age_s=age_s, flow_mg_s=flow_mg_s
    )


def _stale_after_s(readings: Sequence[Reading]) -> float:
    intervals_s = [later.at_s - earlier.at_s for earlier, later in pairwise(readings[-16:])]
    typical_s = median(intervals_s) if intervals_s else 0.0
    return min(MAX_STALE_S, max(MIN_STALE_S, STALE_INTERVAL_COUNT * typical_s))


def _run(readings: Sequence[Reading], gap_s: float) -> list[Reading]:
    """The newest readings with weights of one kind and no gap between them, oldest first, as far as they are judged."""
    run: list[Reading] = []
    for reading in reversed(readings):
        if len(run) >= UNSAID_COUNT and run[0].at_s - run[-1].at_s > FLOW_SPAN_S:
            break
        if reading.fault is not None or reading.mass_mg is None:
            break
        if run:
            later = run[-1]
            same_kind = (reading.unit, reading.division_mg, reading.tare_mark) == (
                later.unit,
                later.division_mg,
                later.tare_mark,
            )
            if not same_kind or later.at_s - reading.at_s > gap_s:
                break
        run.append(reading)
    run.reverse()
    return run


def _judged(run: list[Reading]) -> list[Reading]:
    """As many of the newest as the judgement needs."""
    if not run or run[-1].motion != "unsaid":
        return run[-SAID_COUNT:]
    first = max(0, len(run) - UNSAID_COUNT)
    while first > 0 and run[-1].at_s - run[first].at_s < UNSAID_SPAN_S:
        first -= 1
    return run[first:]


def _stands(newest: Reading, judged: list[Reading], spread_mg: int) -> bool:
    division_mg = newest.division_mg + ROUNDING_MG
    if newest.motion != "unsaid":
        said = len(judged) == SAID_COUNT and all(reading.motion == "steady" for reading in judged)
        return said and spread_mg <= division_mg
    span_s = judged[-1].at_s - judged[0].at_s
    if len(judged) < UNSAID_COUNT or span_s < UNSAID_SPAN_S:
        return False
    # Noise goes a division either way of the weight that would be taken; a slow pour comes from one side.
    near_mg = max(abs(mass_mg - (newest.mass_mg or 0)) for mass_mg in _masses_mg(judged))
    return near_mg <= division_mg and abs(_slope_mg_s(judged)) * span_s <= division_mg


def _spread_mg(readings: list[Reading]) -> int:
    masses_mg = _masses_mg(readings)
    return max(masses_mg) - min(masses_mg) if masses_mg else 0


def _masses_mg(readings: list[Reading]) -> list[int]:
    return [reading.mass_mg for reading in readings if reading.mass_mg is not None]


def _slope_mg_s(readings: list[Reading]) -> float:
    """Least-squares slope; 0 with fewer than three readings or no time between them. Source: Definition."""
    points = [(reading.at_s, reading.mass_mg) for reading in readings if reading.mass_mg is not None]
    if len(points) < 3:
        return 0.0
    mean_s = sum(at_s for at_s, _ in points) / len(points)
    square = sum((at_s - mean_s) ** 2 for at_s, _ in points)
    # From the first weight on, so that weights that do not change give a slope of nothing at all.
    first_mg = points[0][1]
    product = sum((at_s - mean_s) * (mass_mg - first_mg) for at_s, mass_mg in points)
    return product / square if square > 0 else 0.0
