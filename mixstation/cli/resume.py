"""`mixstation resume`: the batch that was left open, on the same screen with the same numbers."""

import argparse
import sys
from collections.abc import Sequence
from contextlib import closing
from typing import TYPE_CHECKING

from mixstation.cli.bench_words import add_bench_words, folder, read
from mixstation.cli.first_sign import wipe_sign
from mixstation.cli.jobs import bench_of, desk_of, in_lines, job_of, plans_folder, progress_now
from mixstation.cli.parser import Parser
from mixstation.cli.show_desk import show

if TYPE_CHECKING:
    from mixstation.planning.kept import KeptPlan
    from mixstation.station.view import Desk


def run(words: Sequence[str]) -> int:
    """Go on with the open batch; with nothing open, say what can be done instead, with several list them."""
    parser = Parser(prog="mixstation resume", description="Go on with the batch that was left open.")
    parser.add_argument(
        "batch",
        nargs="?",
        type=str,
        metavar="ID",
        help="a part that no other has will do; without one, the open batch",
    )
    parser.add_argument("--or-help", action="store_true", help=argparse.SUPPRESS)
    add_bench_words(parser)
    given = read(parser, words, at_the_bucket=True)
    found = _meant(given.batch)
    if len(found) != 1:
        wipe_sign()
    if not found and given.or_help:
        from mixstation.cli.main import main

        return main(["--help"])
    if len(found) != 1:
        from mixstation.wording.kept_lines import NONE_OPEN, SEVERAL_OPEN

        print(SEVERAL_OPEN if found else NONE_OPEN, file=sys.stderr)
        return 1
    batch_id = found[0]
    bench = bench_of(given, batch_id)

    def open_desk() -> "Desk":
        from mixstation.station.opening import take_up

        planned = _plan_of(batch_id)
        if planned is None:
            return take_up(bench(), batch_id)
        kept, number = planned
        job = job_of(given, bench(), kept, sorted(progress_now(kept).finished))
        return desk_of(job, lambda job: job.going_on(batch_id, number))

    return show(open_desk, plain=in_lines(given, batch_id))


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


def _meant(asked: str | None) -> tuple[str, ...]:
    """The batch that was asked for, else all that are open; where there are several, they are listed.

    Raises:
        BatchNotFound: No batch, or more than one, has what was asked for in its id.
    """
    from mixstation.record.journal import Journal
    from mixstation.record.journal_there import journal_there
    from mixstation.record.stored import find_batch, open_batches

    if asked is not None:
        with closing(Journal.open_reading(folder())) as journal:
            return (find_batch(journal, asked),)
    with journal_there(folder()) as there:
        found = () if there is None else open_batches(there)
        if there is not None and len(found) != 1:
            from mixstation.cli.records import print_listed, say_notices

            if found:
                wipe_sign()
                print_listed(there, found)
            else:
                say_notices(there)
        return found
