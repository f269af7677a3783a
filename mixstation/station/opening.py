"""Opening a batch: a new one from an order, or one taken up again from the journal."""

from collections.abc import Callable, Collection, Sequence

from mixstation import __version__
from mixstation.batch.advice import advise, stand
from mixstation.batch.commands import Book, Weight
from mixstation.batch.decide import decide
from mixstation.batch.events import (
    BatchStarted,
    ClockStepped,
    Fact,
    Got,
    MaterialRemoved,
    PortionTaken,
    ProgramResumed,
    Stamp,
)
from mixstation.batch.moment import Moment
from mixstation.batch.refusal import Refusal
from mixstation.batch.run import Run, fold
from mixstation.record.codec import CodecError, read, stored_whole
from mixstation.record.earlier import first_of_plan, last_of_colour
from mixstation.record.journal import Journal
from mixstation.record.proof import Difference, doubts
from mixstation.record.stored import EventStore, open_batches
from mixstation.record.trouble import Notice
from mixstation.station.bench import Bench, Settings
from mixstation.station.clocks import CLOCK_STEP_MS, Clock, SystemClock
from mixstation.station.keeper import Keeper
from mixstation.station.order import LONGEST_NAME, Order, new_batch_id, start_fact
from mixstation.station.session import Session
from mixstation.station.station import Station
from mixstation.station.trouble import EntriesMissing
from mixstation.station.watch import ScaleWatch
from mixstation.units.clean import clean
from mixstation.wording.like_lines import NONE_EARLIER
from mixstation.wording.settings_lines import resumed_line
from mixstation.wording.storage_lines import notice_line

# What may be in the bucket and not in the journal.
_MISS = ("entries-gone", "entries-altered")


class BatchesOpen(Exception):  # noqa: N818 - what stands in the way
    """A new batch was asked for while another is open.

    Attributes:
        batch_ids: The open ones, the newest first, cleaned.
        what: What the newest is: its piece, else its recipe; "" where that cannot be read.
    """

    def __init__(self, batch_ids: tuple[str, ...], what: str) -> None:
        """Keep which they are."""
        super().__init__("batches-open")
        self.batch_ids = tuple(clean(batch_id, LONGEST_NAME) for batch_id in batch_ids)
        self.what = clean(what, LONGEST_NAME)


def begin(bench: Bench, order: Order) -> Station:
    """Start a new batch.

    Raises:
        BatchesOpen: Another batch is open, and this one is not to be mixed beside it.
        JournalError: The journal could not be opened, or the start not be stored.
    """

    def keep(store: EventStore, clock: Clock, who: str) -> Keeper:
        still_open = () if bench.beside else open_batches(store)
        if still_open:
            raise BatchesOpen(still_open, _what_is(store, still_open[0]))
        start = start_fact(order, new_batch_id(clock, order), bench.settings, _like(store, order))
        return Keeper.begin(store, clock, who, start)

    return _station(bench, keep, tells_last=bool(order.last_batch))


def _like(store: EventStore, order: Order) -> Got | None:
    """The earlier batch that a new one is to come out like, or is to be told of; None where there is none."""
    first = first_of_plan(store, order.plan) if order.plan else None
    if first is None and order.last_batch:
        return last_of_colour(store, order.loaded.recipe, steers=order.last_batch == "aim")
    return first


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
        JournalError, CodecError, FoldError: As `Keeper.resume`.
    """

    def keep(store: EventStore, clock: Clock, who: str) -> Keeper:
        who = who if "who" in bench.anew else ""
        return resumed(store, clock, who, batch_id, bench.settings, bench.anew)

    return _station(bench, keep, batch_id)


def resumed(
    store: EventStore,
    clock: Clock,
    who: str,
    batch_id: str,
    settings: Settings | None = None,
    anew: Collection[str] = (),
) -> Keeper:
    """The keeper of a stored batch, which is told that the program has started again.

    Args:
        who: Who goes on; "" for whoever was at it last.
        settings: What options and settings say now.
        anew: Options that were said for this batch; for all else it keeps its own.

    Raises:
        JournalError, CodecError, FoldError: As `Keeper.resume`.
    """
    keeper = Keeper.resume(store, clock, who, batch_id)
    if not keeper.run.ended:
        cut_off = owed(keeper.run, clock.moment())
        if cut_off and stored_whole(store.events(batch_id)[-1].body):
            cut_off = ()
        had, now = keeper.run.settings, settings
        if had is not None and settings is not None:
            now = had.with_anew(settings, anew)
        stepped = _set_meanwhile(keeper.run.entries[-1].stamp, clock.moment())
        keeper.keep(
            *cut_off, *stepped, ProgramResumed(program=__version__, settings=None if now == had else now)
        )
    return keeper


def _set_meanwhile(last: Stamp, now: Moment) -> tuple[Fact, ...]:
    """A step of the wall clock while the program was not running; across a restart of the machine none is seen."""
    by_ms = (now.utc_ms - now.boot_ms) - (last.utc_ms - last.boot_ms)
    seen = last.boot_id == now.boot_id and abs(by_ms) > CLOCK_STEP_MS
    return (ClockStepped(by_ms=by_ms),) if seen else ()


def _station(
    bench: Bench,
    keep: Callable[[EventStore, Clock, str], Keeper],
    going_on: str = "",
    *,
    tells_last: bool = False,
) -> Station:
    clock, who = bench.clock or SystemClock(), clean(bench.who, LONGEST_NAME)

    def open_session() -> Session:
        journal = Journal.open(bench.folder)
        try:
            # What is missing of this batch is asked about, and needs no other word beside it.
            doubted = (
                journal.ask(lambda connection: doubts(bench.folder, connection, going_on)) if going_on else ()
            )
            missing = [each for each in doubted if each.batch_id == going_on and each.code in _MISS]
            only_this = bool(missing) and all(each.batch_id == going_on for each in doubted)
            notices = [code for code in journal.notices() if not (only_this and code == "entries-gone")]
            keeper = keep(journal, clock, who)
            none = NONE_EARLIER if tells_last and keeper.run.start.like is None else ""
            return _session(bench, clock, journal, keeper, notices, missing, none)
        except BaseException:
            journal.close()
            raise

    return Station(open_session)


def _session(
    bench: Bench,
    clock: Clock,
    journal: Journal,
    keeper: Keeper,
    told: Sequence[Notice],
    missing: Sequence[Difference],
    words: str,
) -> Session:
    notices = [*(notice_line(code) for code in told), words]
    if bench.opened is not None:
        notices.append(bench.opened(keeper.run.start.batch_id))
    newest = keeper.run.entries[-1]
    if isinstance(newest.fact, ProgramResumed):
        notices.append(resumed_line(newest, keeper.run.start.settings, bench.settings, bench.anew))

    at_end = bench.at_end or (lambda _store, _batch_id: "")
    return Session(
        keeper,
        clock,
        ScaleWatch(bench.link()) if bench.link is not None else None,
        keeper.run.settings or bench.settings,
        close=journal.close,
        at_end=lambda batch_id: at_end(journal, batch_id),
        notice=" ".join(filter(None, notices)),
        first=EntriesMissing(missing=missing[-1]) if missing else None,
    )


def owed(run: Run, moment: Moment) -> tuple[Fact, ...]:
    """The facts that belong to the newest one and were not stored any more; mostly none.

    Bodies of form 1 were stored one by one. Cut off after what came out of the bucket, such a batch would ask for it
    again: the same water poured back twice. Whatever else was cut off is asked for again and harms nothing.
    """
    newest = run.entries[-1].fact
    if not isinstance(newest, MaterialRemoved | PortionTaken) or newest.step is None:
        return ()
    weight = Weight(
        mass_mg=newest.mass_mg, source=newest.source, shown=newest.shown, division_mg=newest.division_mg
    )
    before = stand(fold(run.entries[:-1]), newest.division_mg or 1)
    decided = decide(advise(before, moment, None), Book(weight=weight, confirmed=True))
    return () if isinstance(decided, Refusal) or decided[0] != newest else decided[1:]
