"""Kept plans at the bench: what `plan`, `mix` and `resume` share."""

import argparse
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from mixstation.cli.bench_words import folder, settings_of, who_of
from mixstation.cli.scale_link import link_of

if TYPE_CHECKING:
    from mixstation.planning.job import Job, Progress
    from mixstation.planning.kept import KeptPlan
    from mixstation.planning.stages import Stage
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
        from mixstation.cli.at_end import at_end
        from mixstation.station.bench import Bench

        return Bench(
            folder=folder(),
            settings=settings,
            who=who,
            link=link.make,
            at_end=at_end,
            opened=opened,
            beside=given.beside,
        )

    return bench


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
    from mixstation.record.errors import JournalError
    from mixstation.record.journal import Journal

    try:
        journal = Journal.open_reading(folder())
    except JournalError as error:
        if error.code == "no-journal":
            return Progress(finished=frozenset(), open={})
        raise
    try:
        return progress_of(journal, kept)
    finally:
        journal.close()
