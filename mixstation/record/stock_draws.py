"""What ended batches take from the stock: by their own readings, each batch once, whatever went wrong in between.

Only materials that were ever received or counted are kept count of. What went into a bucket has left the shelf, also
where the batch was discarded or some of it came out again.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping
from itertools import islice

from mixstation.batch.events import WeightRecorded
from mixstation.batch.lots import lot_of
from mixstation.batch.run import FoldError, Run, fold
from mixstation.frozen import Frozen
from mixstation.plan.diluted import neat_share
from mixstation.recipe.model import Recipe, Role
from mixstation.record.codec import CodecError, read
from mixstation.record.errors import StorageError
from mixstation.record.stock_ledger import DrawOutcome, Movement, StockLedger
from mixstation.record.stored import EventStore, StoredEvent

_ENDS = frozenset({"batch-finished", "batch-discarded"})
_NOT_STOCK = frozenset({Role.WATER, Role.ICE})
# Choice: a missed draw is seen at the next look at the stock, long before so many batches more.
_LOOKED_AT_COUNT = 20


class Drawn(Frozen):
    """What a batch took.

    Attributes:
        outcome: Whether it was taken now.
        amounts_mg: Milligrams by material, as delivered.
        names: What the batch's recipe calls them.
    """

    batch_id: str
    outcome: DrawOutcome
    amounts_mg: Mapping[str, int]
    names: Mapping[str, str]


def kept_count_of(movements: Collection[Movement]) -> frozenset[str]:
    """Materials that were ever received or counted. Source: Definition."""
    return frozenset(movement.material for movement in movements if movement.kind != "drawn")


def used_mg(run: Run, since_ms: Mapping[str, int] | None = None) -> dict[str, int]:
    """What went into a batch but water and ice, by material as delivered: a dilution counts for what is in it.

    Args:
        since_ms: Only what went in later than this counts, by material; milliseconds since 1970 UTC.
    """
    return {key: sum(parts.values()) for key, parts in used_by_lot_mg(run, since_ms).items()}


def used_by_lot_mg(run: Run, since_ms: Mapping[str, int] | None = None) -> dict[str, dict[str, int]]:
    """The same by material and the lot it came out of, "" where that is not known."""
    weighed: dict[str, dict[str, int]] = {}
    for entry in run.live:
        fact = entry.fact
        if isinstance(fact, WeightRecorded) and entry.stamp.utc_ms > (since_ms or {}).get(fact.material, -1):
            parts, lot = weighed.setdefault(fact.material, {}), lot_of(run, entry)
            parts[lot] = parts.get(lot, 0) + fact.mass_mg
    neat = recipe_as_written(run.start.recipe_text, run.recipe)
    return {
        key: {
            lot: round(mass_mg * neat_share(run.recipe.material(key), neat.material(key)))
            for lot, mass_mg in parts.items()
        }
        for key, parts in weighed.items()
        if run.recipe.material(key).role not in _NOT_STOCK
    }


def draw_batch(store: EventStore, ledger: StockLedger, batch_id: str) -> Drawn | None:
    """Take off what an ended batch used, by its readings; None where it is open or used nothing kept count of.

    Raises:
        StorageError: Batch or ledger could not be read, or the ledger not written: call again.
        CodecError: The batch was stored by a later program, or is damaged.
        FoldError: It is no batch of ours.
    """
    run = _run(store.events(batch_id))
    return _draw(run, ledger, ledger.movements()) if run.ended else None


def draw_missed(store: EventStore, ledger: StockLedger) -> tuple[Drawn, ...]:
    """Take off what the newest ended batches have not taken yet, oldest first; unreadable ones are passed over.

    Raises:
        StorageError: The ledger could not be read or written; what is missing is taken off another time.
    """
    movements = ledger.movements()
    if ledger.read_only or not kept_count_of(movements):
        return ()
    missed = reversed(tuple(_undrawn(store, movements)))
    return tuple(drawn for run in missed if (drawn := _draw(run, ledger, movements)))


def _draw(run: Run, ledger: StockLedger, movements: Collection[Movement]) -> Drawn | None:
    known = kept_count_of(movements)
    # Whoever counted a material counted what the batch had left by then.
    counted_ms: dict[str, int] = {}
    for movement in movements:
        if movement.kind == "counted":
            counted_ms[movement.material] = max(counted_ms.get(movement.material, 0), movement.at_ms)
    by_lot = {key: parts for key, parts in used_by_lot_mg(run, counted_ms).items() if key in known}
    amounts = {key: mass for key, parts in by_lot.items() if (mass := sum(parts.values()))}
    if not amounts:
        return None
    end = next(entry.stamp for entry in run.live if entry.fact.kind in _ENDS)
    marked = {key: {lot: mass for lot, mass in parts.items() if lot} for key, parts in by_lot.items()}
    outcome = ledger.draw(run.start.batch_id, amounts, at_ms=end.utc_ms, who=end.who, lots=marked)
    names = {
        material.key: material.name
        for material in recipe_as_written(run.start.recipe_text, run.recipe).materials
    }
    return Drawn(batch_id=run.start.batch_id, outcome=outcome, amounts_mg=amounts, names=names)


def _undrawn(store: EventStore, movements: Collection[Movement]) -> Iterator[Run]:
    """Ended batches that have drawn nothing, the newest first, back to when the stock was first kept."""
    drawn_before = {movement.entry for movement in movements if movement.kind == "drawn"}
    since_ms = min(movement.at_ms for movement in movements)
    rows = (row for row in store.batches() if row.batch_id not in drawn_before)
    for row in islice(rows, _LOOKED_AT_COUNT):
        try:
            events = store.events(row.batch_id)
            # An open batch draws nothing, and reading an entry costs more than looking at its kind.
            if not any(event.kind in _ENDS for event in events):
                continue
            if read(events[-1].seq, events[-1].body).stamp.utc_ms < since_ms:
                return
            run = _run(events)
        except (StorageError, CodecError, FoldError):
            continue
        if run.ended:
            yield run


def _run(events: Iterable[StoredEvent]) -> Run:
    return fold(tuple(read(event.seq, event.body) for event in events))


def recipe_as_written(text: str, recipe: Recipe) -> Recipe:
    """A recipe as its file has it, whatever was diluted since.

    Args:
        text: The file's text.
        recipe: The recipe as it is mixed by; given back where the text cannot be read any more.
    """
    from mixstation.recipe.file import read_recipe
    from mixstation.toml.lines import FileRefused

    try:
        written = read_recipe(text, recipe.key).recipe
    except FileRefused:
        return recipe
    same_keys = {m.key for m in written.materials} == {m.key for m in recipe.materials}
    return written if same_keys else recipe
