"""`mixstation resume`: the batch that was left open, on the same screen with the same numbers."""

import argparse
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

from mixstation.cli.bench_words import add_bench_words, folder, link_of, read, settings_of, who_of
from mixstation.cli.jobs import job_of, plans_folder, progress_now, show_job
from mixstation.cli.show_desk import show
from mixstation.station.desk import Desk

if TYPE_CHECKING:
    from mixstation.planning.kept import KeptPlan


def run(words: Sequence[str]) -> int:
    """Go on with the open batch; with nothing open, say what can be done instead."""
    parser = argparse.ArgumentParser(
        prog="mixstation resume", description="Go on with the batch that was left open."
    )
    parser.add_argument("batch", nargs="?", help="its id; without one, the newest open one")
    parser.add_argument("--or-help", action="store_true", help=argparse.SUPPRESS)
    add_bench_words(parser)
    given = read(parser, words)
    batch_id = given.batch or _open_batch()
    if batch_id is None:
        if given.or_help:
            from mixstation.cli.main import main

            return main(["--help"])
        print("No batch is open. Start one with: mixstation mix RECIPE --powder MASS", file=sys.stderr)
        return 1
    planned = _plan_of(batch_id)
    if planned is not None:
        kept, number = planned
        job = job_of(given, kept, sorted(progress_now(kept).finished))
        return show_job(given, job, lambda job: job.going_on(batch_id, number))
    link, settings, who = link_of(given), settings_of(given), who_of(given)

    def open_desk() -> Desk:
        from mixstation.cli.at_end import at_end
        from mixstation.station.opening import Bench, take_up

        bench = Bench(folder=folder(), settings=settings, who=who, link=link, at_end=at_end)
        return take_up(bench, batch_id)

    return show(open_desk, plain=given.plain)


def _plan_of(batch_id: str) -> "tuple[KeptPlan, int] | None":
    """The kept plan a batch is of, and which bucket it is; None for a batch of none, or of one that is gone."""
    from mixstation.planning.job import bucket_of
    from mixstation.planning.kept import KeptPlanError, kept_ids, read_kept

    for plan_id in kept_ids(plans_folder()):
        if f"-{plan_id}-" in batch_id:
            try:
                kept = read_kept(plans_folder(), plan_id)
            except KeptPlanError:
                return None
            number = bucket_of(kept, batch_id)
            return (kept, number) if number else None
    return None


def _open_batch() -> str | None:
    from mixstation.record.errors import JournalError
    from mixstation.record.journal import Journal
    from mixstation.station.opening import open_batch

    try:
        journal = Journal.open_reading(folder())
    except JournalError as error:
        if error.code == "no-journal":
            return None
        raise
    try:
        return open_batch(journal)
    finally:
        journal.close()
