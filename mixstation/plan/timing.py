"""Order and timing of buckets and layers, minutes from the first water of the first bucket."""

from collections.abc import Iterator
from typing import assert_never

from mixstation.frozen import Frozen
from mixstation.plan.cautions import BackingAfterWindow, StiffBeforePlaced
from mixstation.recipe import model

MINUTES_PER_STEP = 0.5
"""Tipping in what is weighed out, scraping, judging: whatever has no time of its own. Source: Choice."""

MINUTES_TO_PLACE = 6.0
"""Placing one bucket of mix, or the face coat. Source: Choice: thin pieces, one person; a setting."""


class LayerWindow(Frozen):
    """When the next layer may go on, minutes after the face was placed."""

    from_min: float = 10.0
    to_min: float = 30.0


class BucketTime(Frozen):
    """One bucket's times, minutes.

    Attributes:
        ready_min: Mixed, fibres and all.
        stiff_min: Earliest end of its working time.
    """

    number: int
    start_min: float
    ready_min: float
    begin_min: float
    placed_min: float
    stiff_min: float


class Timing(Frozen):
    """The order of the work, minutes.

    Attributes:
        face_placed_min: All of the face coat lies in the mould; None without one.
        backing_from_min: Backing may go on from here; None without a face coat.
        backing_to_min: Backing must have gone on by here; None without a face coat.
    """

    face_placed_min: float | None
    backing_from_min: float | None
    backing_to_min: float | None
    buckets: tuple[BucketTime, ...]


def mixing_min(recipe: model.Recipe, *, until_split: bool = False) -> float:
    """Minutes, by the least times of the steps, from the first water until the mix is ready or the face coat out.

    Source: Choice: see `MINUTES_PER_STEP`.
    """
    minutes = 0.0
    held_back = {
        step.material: 1 - step.cumulative for step in recipe.steps if isinstance(step, model.AddStep)
    }
    for step in recipe.steps:
        match step:
            case model.SplitStep():
                if until_split:
                    break
                minutes += MINUTES_PER_STEP
            case model.MixStep() | model.RestStep():
                minutes += step.min_s / 60
            case model.ReleaseStep():
                minutes += float(held_back.get(step.material, 0) / step.increment) * step.mix_s / 60
            case model.AddStep() | model.ScrapeStep() | model.ConsistencyStep():
                minutes += MINUTES_PER_STEP
            case model.TemperatureStep() | model.NoteStep():
                minutes += MINUTES_PER_STEP
            case _ as forgotten:
                assert_never(forgotten)
    return minutes


def plan_timing(
    recipe: model.Recipe,
    *,
    face_buckets: int,
    bucket_count: int,
    working_min: float,
    window: LayerWindow,
    place_min: float = MINUTES_TO_PLACE,
) -> Timing:
    """When each bucket starts so that layers and buckets follow one another.

    Without a face coat a bucket starts when the one before is placed. With one, what is left of the first bucket
    waits for the face to firm; the next buckets follow as soon as that is placed.

    Args:
        face_buckets: Buckets that give face coat, the first ones; 0 for none.
        bucket_count: All buckets, at least 1.
        working_min: Least working time to expect, minutes.

    Source: Common practice, no source.
    """
    whole_min, face_min = mixing_min(recipe), mixing_min(recipe, until_split=True)
    face_placed = face_buckets * (face_min + place_min) if face_buckets else None
    backing_from = None if face_placed is None else face_placed + window.from_min
    backing_to = None if face_placed is None else face_placed + window.to_min
    times: list[BucketTime] = []
    free_min = 0.0
    for number in range(1, bucket_count + 1):
        gives_face = number <= face_buckets
        start = (number - 1) * (face_min + place_min) if gives_face else free_min
        ready = start + whole_min + (place_min if gives_face else 0.0)
        begin = max(ready, free_min, backing_from or 0.0)
        free_min = begin + place_min
        times.append(
            BucketTime(
                number=number,
                start_min=start,
                ready_min=ready,
                begin_min=begin,
                placed_min=free_min,
                stiff_min=start + working_min,
            )
        )
    return Timing(
        face_placed_min=face_placed,
        backing_from_min=backing_from,
        backing_to_min=backing_to,
        buckets=tuple(times),
    )


def timing_cautions(timing: Timing) -> Iterator[StiffBeforePlaced | BackingAfterWindow]:
    """Where the order of the work runs out of time.

    Source: Common practice, no source.
    """
    for time in timing.buckets:
        if time.placed_min > time.stiff_min:
            yield StiffBeforePlaced(
                bucket_number=time.number,
                placed_min=time.placed_min - time.start_min,
                working_min=time.stiff_min - time.start_min,
            )
    face_placed, backing_to = timing.face_placed_min, timing.backing_to_min
    if face_placed is None or backing_to is None:
        return
    for time in timing.buckets:
        if time.begin_min > backing_to:
            yield BackingAfterWindow(
                bucket_number=time.number,
                after_min=time.begin_min - face_placed,
                window_min=backing_to - face_placed,
            )
