"""Opening a batch: from a recipe and an amount to a start fact, or from the journal to a batch taken up again."""

import secrets
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

from mixstation import __version__
from mixstation.batch.events import (
    Amount,
    BatchStarted,
    Lot,
    ProgramResumed,
    ScaleOnFile,
    WeighedApart,
    Weighing,
)
from mixstation.batch.targets import aim_of
from mixstation.frozen import dataclass
from mixstation.recipe.file import LoadedRecipe
from mixstation.recipe.proportions import scale_to_material, scale_to_total, totals_for_powder
from mixstation.record.codec import CodecError, read, stored_whole
from mixstation.record.journal import Journal
from mixstation.record.stored import EventStore, open_batches
from mixstation.scale.reading import Link
from mixstation.station.clocks import Clock, SystemClock
from mixstation.station.keeper import Keeper
from mixstation.station.owed import owed
from mixstation.station.session import Session, Settings
from mixstation.station.station import Station
from mixstation.station.watch import ScaleWatch
from mixstation.units.clean import clean
from mixstation.wording.storage_lines import notice_line

_LONGEST_NAME = 100


class BatchesOpen(Exception):  # noqa: N818 - what stands in the way
    """A new batch was asked for while another is open.

    Attributes:
        batch_ids: The open ones, the newest first, cleaned.
        what: What the newest is: its piece, else its recipe; "" where that cannot be read.
    """

    def __init__(self, batch_ids: tuple[str, ...], what: str) -> None:
        """Keep which they are."""
        super().__init__("batches-open")
        self.batch_ids = tuple(clean(batch_id, _LONGEST_NAME) for batch_id in batch_ids)
        self.what = clean(what, _LONGEST_NAME)


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What is to be mixed in one bucket.

    Attributes:
        loaded: The recipe with its text.
        powders: Weighed mass of each powder, milligrams.
        piece: What is cast.
        weighing: What stands on the scale.
        scale: Scale on file, or None.
        bucket_l: Volume of the bucket, litres.
        fill_limit: Largest part of it to fill.
        bucket_number: From 1.
        bucket_count: Of the job.
        needed_l: Volume the moulds need from this bucket; 0 if not planned.
        stock: What there is of each limited material.
        lots: Bags or lots, where known.
        shop_c: Air temperature, or None.
        plan: Id of the plan this bucket is of, or "".
        weighed_apart: Materials weighed on another scale than this one, and on which.
    """

    loaded: LoadedRecipe
    powders: Mapping[str, int]
    piece: str = ""
    weighing: Weighing = "bucket"
    scale: ScaleOnFile | None = None
    # Choice: a common mixing bucket, filled to two thirds at most.
    bucket_l: float = 30.0
    fill_limit: float = 2 / 3
    bucket_number: int = 1
    bucket_count: int = 1
    needed_l: float = 0.0
    stock: tuple[Amount, ...] = ()
    lots: tuple[Lot, ...] = ()
    shop_c: float | None = None
    plan: str = ""
    weighed_apart: tuple[WeighedApart, ...] = ()


def powders_for(
    loaded: LoadedRecipe,
    *,
    powder_mg: int | None = None,
    total_mg: int | None = None,
    material: tuple[str, int] | None = None,
) -> dict[str, int]:
    """Weighed powder masses for a dry powder total, a total of everything, or a mass of one material.

    Args:
        loaded: The recipe.
        powder_mg: All powders together, dry.
        total_mg: Everything that goes into the bucket.
        material: A material's key and its mass.

    Returns:
        Milligrams by powder.

    Raises:
        ScalingError: The recipe cannot be scaled so.
        ValueError: Not exactly one of the three was given.
    """
    recipe = loaded.recipe
    if (powder_mg is not None) + (total_mg is not None) + (material is not None) != 1:
        raise ValueError("one of powder_mg, total_mg, material")
    if powder_mg is not None:
        masses = totals_for_powder(recipe, powder_mg)
    elif total_mg is not None:
        masses = scale_to_total(recipe, total_mg)
    else:
        assert material is not None
        masses = scale_to_material(recipe, material[0], Fraction(material[1]))
    return {key: round(mass) for key, mass in masses.items() if recipe.material(key).is_powder}


def start_fact(order: Order, batch_id: str) -> BatchStarted:
    """The start of a batch."""
    return BatchStarted(
        batch_id=batch_id,
        piece=clean(order.piece, _LONGEST_NAME),
        recipe_text=order.loaded.text,
        recipe_hash=order.loaded.hash,
        recipe=order.loaded.recipe,
        aim=aim_of(order.loaded.recipe, order.powders),
        weighing=order.weighing,
        scale=order.scale,
        bucket_l=order.bucket_l,
        fill_limit=order.fill_limit,
        bucket_number=order.bucket_number,
        bucket_count=order.bucket_count,
        needed_l=order.needed_l,
        stock=order.stock,
        lots=tuple(replace(lot, lot=clean(lot.lot, _LONGEST_NAME)) for lot in order.lots),
        shop_c=order.shop_c,
        program=__version__,
        weighed_apart=order.weighed_apart,
    )


def new_batch_id(clock: Clock, of: Order) -> str:
    """A name for a batch: local date and time, a little chance against two in one minute, and the plan it is of."""
    now = datetime.fromtimestamp(clock.moment().utc_ms / 1000, tz=UTC).astimezone()
    planned = of_plan(of.plan, of.bucket_number) if of.plan else ""
    return f"{now:%Y%m%d-%H%M}-{secrets.token_hex(2)}{planned}"


def of_plan(plan_id: str, bucket_number: int) -> str:
    """How the name of a batch that is a bucket of a plan ends."""
    return f"-{plan_id}-{bucket_number}"


def open_batch(store: EventStore) -> str | None:
    """The newest batch that is neither finished nor discarded, or None."""
    return next(iter(open_batches(store)), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What a station is opened with.

    Attributes:
        folder: Where the journal lives.
        settings: How the mixer likes it.
        who: Who is mixing.
        link: Makes the link to the scale, or None without one; called in the station's thread.
        clock: Tells the moment.
        at_end: Called with the store and the batch's id once the batch is over; gives the words to show.
        opened: Called with the batch's id once the batch is open; gives the words to show, "" for none.
        beside: A new batch may begin while another is open.
    """

    folder: Path
    settings: Settings
    who: str
    link: Callable[[], Link] | None = None
    clock: Clock | None = None
    at_end: Callable[[EventStore, str], str] | None = None
    opened: Callable[[str], str] | None = None
    beside: bool = False


def begin(bench: Bench, order: Order) -> Station:
    """Start a new batch.

    Raises:
        BatchesOpen: Another batch is open, and this one is not to be mixed beside it.
        JournalError: The journal could not be opened, or the start not be stored.
    """
    clock = bench.clock or SystemClock()

    def keep(store: EventStore) -> Keeper:
        still_open = () if bench.beside else open_batches(store)
        if still_open:
            raise BatchesOpen(still_open, _what_is(store, still_open[0]))
        return Keeper.begin(
            store, clock, clean(bench.who, _LONGEST_NAME), start_fact(order, new_batch_id(clock, order))
        )

    return _station(bench, clock, keep)


def _what_is(store: EventStore, batch_id: str) -> str:
    first = next(iter(store.events(batch_id, even_damaged=True)), None)
    try:
        fact = read(first.seq, first.body).fact if first is not None else None
    except CodecError:
        return ""
    return (fact.piece or fact.recipe.name) if isinstance(fact, BatchStarted) else ""


def take_up(bench: Bench, batch_id: str) -> Station:
    """Go on with a stored batch.

    Raises:
        JournalError: It could not be read.
        CodecError: It was stored by a later program, or is damaged.
        FoldError: It is no batch of ours.
    """
    clock = bench.clock or SystemClock()

    def keep(store: EventStore) -> Keeper:
        return resumed(store, clock, clean(bench.who, _LONGEST_NAME), batch_id)

    return _station(bench, clock, keep)


def resumed(store: EventStore, clock: Clock, who: str, batch_id: str) -> Keeper:
    """The keeper of a stored batch, which is told that the program has started again.

    Raises:
        JournalError: It could not be read.
        CodecError: It was stored by a later program, or is damaged.
        FoldError: It is no batch of ours.
    """
    keeper = Keeper.resume(store, clock, who, batch_id)
    if not keeper.run.ended:
        cut_off = owed(keeper.run, clock.moment())
        if cut_off and stored_whole(store.events(batch_id)[-1].body):
            cut_off = ()
        keeper.keep(*cut_off, ProgramResumed(program=__version__))
    return keeper


def _station(bench: Bench, clock: Clock, keep: Callable[[EventStore], Keeper]) -> Station:
    def open_session() -> Session:
        journal = Journal.open(bench.folder)
        try:
            return _session(bench, clock, journal, keep(journal))
        except BaseException:
            journal.close()
            raise

    return Station(open_session)


def _session(bench: Bench, clock: Clock, journal: Journal, keeper: Keeper) -> Session:
    at_end = bench.at_end
    notices = [notice_line(code) for code in journal.notices()]
    if bench.opened is not None:
        notices.append(bench.opened(keeper.run.start.batch_id))

    def finished(batch_id: str) -> str:
        return at_end(journal, batch_id) if at_end is not None else ""

    return Session(
        keeper,
        clock,
        ScaleWatch(bench.link()) if bench.link is not None else None,
        bench.settings,
        close=journal.close,
        at_end=finished,
        notice=" ".join(filter(None, notices)),
    )
