"""When the last of the mix lay in its mould: from then on a piece cures."""

from dataclasses import replace

from mixstation.batch.events import BatchDiscarded, BatchFinished, ClockStepped, Entry, Stamp, WeightRecorded
from mixstation.batch.run import Run

LONGEST_S = 4 * 60 * 60
"""So long after the first water nobody is still placing. Source: Choice: the longest working time a recipe can have."""


def placed(run: Run) -> Stamp | None:
    """The end of placing: as it was said when the batch was closed, else the last water.

    Returns:
        A stamp by the clock as it was set when the batch was closed, never before the last water; None for a batch
        that is open or was discarded.

    Source: Choice: where it was not said, the last water is the latest that is known for certain.
    """
    end = next((entry for entry in run.live if isinstance(entry.fact, BatchFinished)), None)
    if end is None or not isinstance(end.fact, BatchFinished):
        return None
    water_ms = _last_water_ms(run)
    if end.fact.placed_before_s is not None:
        said_ms = end.stamp.utc_ms - end.fact.placed_before_s * 1000
        return replace(end.stamp, utc_ms=said_ms if water_ms is None else max(said_ms, water_ms))
    return end.stamp if water_ms is None else replace(end.stamp, utc_ms=water_ms)


def ended_at(run: Run) -> Stamp | None:
    """When the batch was closed or discarded; None while it is open."""
    if not run.ended:
        return None
    ends = [entry.stamp for entry in run.live if isinstance(entry.fact, BatchFinished | BatchDiscarded)]
    return ends[-1] if ends else None


def placing_was_said(run: Run) -> bool:
    """Whether the end of placing was said when the batch was closed."""
    return any(
        isinstance(entry.fact, BatchFinished) and entry.fact.placed_before_s is not None for entry in run.live
    )


def _last_water_ms(run: Run) -> int | None:
    """When plain water last went in, by the clock as it was set after that."""
    waters = [entry for entry in run.live if _is_water(run, entry)]
    if not waters:
        return None
    later = (entry.fact for entry in run.live if entry.seq > waters[-1].seq)
    return waters[-1].stamp.utc_ms + sum(fact.by_ms for fact in later if isinstance(fact, ClockStepped))


def _is_water(run: Run, entry: Entry) -> bool:
    return isinstance(entry.fact, WeightRecorded) and entry.fact.material == run.recipe.water_key
