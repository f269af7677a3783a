"""Kept plans at the bench, and what is done when a batch has ended: what `plan`, `mix` and `resume` share."""

import argparse
import contextlib
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from mixstation.cli.bench_words import folder, settings_of, who_of
from mixstation.cli.first_sign import wipe_sign
from mixstation.cli.records import write_record
from mixstation.cli.scale_link import link_of

if TYPE_CHECKING:
    from mixstation.planning.job import Job, Progress
    from mixstation.planning.kept import KeptPlan
    from mixstation.planning.stages import Stage
    from mixstation.record.stored import EventStore
    from mixstation.station.bench import Bench
    from mixstation.station.view import Desk


def plans_folder() -> Path:
    """Where kept plans live."""
    return folder() / "plans"


def bench_of(given: argparse.Namespace, batch_id: str = "") -> "Callable[[], Bench]":
    """The bench that the words describe; what can be wrong with them is said before anything opens.

    Args:
        given: The words at the bench.
        batch_id: The batch that is gone on with; "" for a new one.

    Returns:
        Gives the bench; what it needs is loaded only then.

    Raises:
        LookupError: No scale profile fits.
        FileRefused: The scale profile cannot be used.
        UnitsError: A quantity could not be read.
    """
    link, settings, who = link_of(given, batch_id), settings_of(given), who_of(given)

    def opened(batch_id: str) -> str:
        return " ".join(filter(None, (given.to_show, link.opened(batch_id))))

    def bench() -> "Bench":
        from mixstation.station.bench import Bench

        return Bench(
            folder=folder(),
            settings=settings,
            who=who,
            anew=frozenset(given.said),
            link=link.make,
            at_end=at_end,
            opened=opened,
            beside=given.beside,
        )

    return bench


def in_lines(given: argparse.Namespace, batch_id: str) -> bool:
    """Whether a batch gone on with is shown in lines: as it is said now, else as it was begun.

    Raises:
        JournalError: It could not be read.
    """
    if "plain" in given.said or not batch_id:
        return bool(given.plain)
    from mixstation.record.journal_there import journal_there
    from mixstation.record.stored import said_of_settings

    with journal_there(folder()) as journal:
        plain = journal is not None and said_of_settings(journal, batch_id).get("plain") is True
    if plain:
        wipe_sign()
    return plain


def job_of(
    given: argparse.Namespace,
    bench: "Bench",
    kept: "KeptPlan | None" = None,
    finished: Sequence[int] = (),
) -> "Job":
    """A job as the words describe it. All of a batch is loaded for it: not before the first picture.

    Args:
        given: The words at the bench.
        bench: What its buckets are mixed with.
        kept: A plan that was kept, or None.
        finished: Buckets of it that are done.
    """
    from mixstation.planning.around import stock_held
    from mixstation.planning.job import Job
    from mixstation.units.show import DisplayUnits

    data = folder()
    return Job(
        bench,
        plans=plans_folder(),
        units=DisplayUnits(given.units),
        stock=lambda: stock_held(data, catching_up=False),
        weighing=getattr(given, "weigh", "bucket"),
        kept=kept,
        finished=finished,
        last_batch=getattr(given, "last_batch", None) or "",
    )


def desk_of(job: "Job", open_first: "Callable[[Job], Stage]") -> "Desk":
    """The desk of a job, with its first stage open."""
    from mixstation.planning.job_desk import JobDesk

    return JobDesk(job, open_first)


def progress_now(kept: "KeptPlan") -> "Progress":
    """How far a kept plan has come, by the journal as it lies there; nothing without a journal.

    Raises:
        JournalError: It could not be read.
    """
    from mixstation.planning.job import Progress, progress_of
    from mixstation.record.journal_there import journal_there

    with journal_there(folder()) as journal:
        return Progress(finished=frozenset(), open={}) if journal is None else progress_of(journal, kept)


def at_end(store: "EventStore", batch_id: str) -> str:
    """Do what there is to do; what fails is said, keeps nothing else from being done, and can be done again.

    Args:
        store: Holds the batch.
        batch_id: A batch that has ended.

    Returns:
        Sentences to show.
    """
    _forget_link(batch_id)
    return " ".join(filter(None, (write_record(store, batch_id), draw_stock(store, batch_id), *_told(store))))


def _told(store: "EventStore") -> tuple[str, ...]:
    """What befell the storage while the batch ran."""
    from mixstation.wording.storage_lines import notice_line

    return tuple(notice_line(code) for code in store.notices() if code in ("reserve-spent", "witness-behind"))


def _forget_link(batch_id: str) -> None:
    """The scale of a batch that has ended is not needed again."""
    from mixstation.record.errors import StorageError
    from mixstation.record.kept_link import forget_link
    from mixstation.record.paths import data_folder

    # A file left behind harms nothing: no other batch has this id.
    with contextlib.suppress(OSError, StorageError):
        forget_link(data_folder(), batch_id)


def draw_stock(store: "EventStore", batch_id: str) -> str:
    """Take off the stock what a batch used, where stock is kept.

    Args:
        store: Holds the batch.
        batch_id: A batch that has ended.

    Returns:
        A sentence to show; "" where stock is not kept.
    """
    from mixstation.record.paths import data_folder
    from mixstation.record.stock_draws import draw_batch
    from mixstation.record.stock_ledger import FILE_NAME, StockLedger
    from mixstation.wording.error_lines import error_line
    from mixstation.wording.stock_lines import DRAWN_OTHERWISE, NOT_UP_TO_DATE, UP_TO_DATE

    try:
        folder = data_folder()
        if not (folder / FILE_NAME).exists():
            return ""
        with contextlib.closing(StockLedger.open(folder)) as ledger:
            drawn = draw_batch(store, ledger, batch_id)
    except Exception as error:
        # The batch is over and stored: the next look at the stock takes off what is missing.
        return " ".join(filter(None, (NOT_UP_TO_DATE, error_line(error))))
    if drawn is None:
        return ""
    return (
        UP_TO_DATE if drawn.outcome != "drawn-otherwise" else DRAWN_OTHERWISE.format(batch_id=drawn.batch_id)
    )
