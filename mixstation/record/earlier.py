"""Earlier batches of the colour, from the journal: a plan's first bucket, or the last batch of a recipe."""

from collections.abc import Iterator

from mixstation.batch.events import Got
from mixstation.batch.like import got, is_same_colour
from mixstation.batch.run import FoldError, Run, fold
from mixstation.recipe.model import Recipe
from mixstation.record.codec import CodecError, stored_entries
from mixstation.record.errors import JournalError
from mixstation.record.stored import EventStore


def first_of_plan(store: EventStore, plan_id: str) -> Got | None:
    """What the bucket of a plan that was closed first got; None while none is."""
    batch_ids = [row.batch_id for row in store.batches() if f"-{plan_id}-" in row.batch_id]
    for run in _closed(store, batch_ids[::-1]):
        found = got(run, run.start.bucket_number)
        if found is not None:
            return found
    return None


def last_of_colour(store: EventStore, recipe: Recipe, *, steers: bool) -> Got | None:
    """What the newest closed batch of a recipe's colour got; None where there is none."""
    for run in _closed(store, [row.batch_id for row in store.batches()]):
        found = got(run, steers=steers) if is_same_colour(run.recipe, recipe) else None
        if found is not None:
            return found
    return None


def _closed(store: EventStore, batch_ids: list[str]) -> Iterator[Run]:
    """Batches that were closed, in this order; one that cannot be read keeps no new one from being mixed."""
    for batch_id in batch_ids:
        try:
            if any(event.kind == "batch-finished" for event in store.events(batch_id)):
                yield fold(stored_entries(store, batch_id))
        except (JournalError, CodecError, FoldError):
            continue
