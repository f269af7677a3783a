"""Which lot each dose came out of: what the mixer said last of its material, else the one lot on hand.

Rules: only a material of which several lots are on hand is asked about, once, before anything goes in.
"""

from collections.abc import Mapping

from mixstation.batch.events import BatchStarted, Entry, Lot, LotOpened, WeightRecorded
from mixstation.batch.state import Run


def on_hand(start: BatchStarted, material: str) -> tuple[str, ...]:
    """Lots of a material that were on hand when the batch began."""
    return tuple(lot.lot for lot in start.lots if lot.material == material)


def to_ask(run: Run) -> str | None:
    """The first material of which several lots are on hand and none was said; None once something is in."""
    if run.in_bucket_mg:
        return None
    keys = (material.key for material in run.recipe.materials)
    return next((key for key in keys if key not in run.lots and len(on_hand(run.start, key)) > 1), None)


def lot_of(run: Run, entry: Entry) -> str:
    """The lot that a dose came out of; "" where it is not known."""
    fact = entry.fact
    assert isinstance(fact, WeightRecorded)
    known = on_hand(run.start, fact.material)
    lot = known[0] if len(known) == 1 else ""
    for earlier in run.live:
        if earlier.seq > entry.seq:
            break
        if isinstance(earlier.fact, LotOpened) and earlier.fact.material == fact.material:
            lot = earlier.fact.lot
    return lot


def lots_used(run: Run) -> tuple[Lot, ...]:
    """Known lots of what went in, as they were opened; of a material that is not in yet, the lot that is at hand."""
    used = {
        (fact.material, lot): None
        for entry in run.live
        if isinstance(fact := entry.fact, WeightRecorded) and (lot := lot_of(run, entry))
    }
    into = {material for material, _ in used}
    for material in run.recipe.materials:
        lot = at_hand(run.start, run.lots, material.key)
        if material.key not in into and lot:
            used[material.key, lot] = None
    return tuple(Lot(material=material, lot=lot) for material, lot in used)


def at_hand(start: BatchStarted, said: Mapping[str, str], material: str) -> str:
    """The lot that is weighed from now; "" where it is not known.

    Args:
        said: What the mixer said last, by material.
    """
    known = on_hand(start, material)
    return said.get(material, known[0] if len(known) == 1 else "")
