"""`mixstation cure FILE`: how far a piece has cured, from a log of temperatures beside it."""

import sys
from collections.abc import Sequence
from contextlib import closing
from datetime import datetime

from mixstation.account.say import local
from mixstation.batch.placed import placed
from mixstation.batch.run import Run, fold
from mixstation.cli.parser import Parser
from mixstation.cli.settings_file import own_settings
from mixstation.plan.curing import curing, curing_polymer, own_strip_h
from mixstation.plan.temperature_log import read_log, since
from mixstation.record.codec import stored_entries
from mixstation.record.journal import Journal
from mixstation.record.paths import data_folder
from mixstation.record.stored import find_batch
from mixstation.toml.lines import read_text_file
from mixstation.units.show import DisplayUnits
from mixstation.wording.command_lines import NEVER_CLOSED
from mixstation.wording.curing_lines import curing_lines

EPILOG = """FILE has a time and a temperature on each line, and says in its first line what they are:

  time,°C                      or   hours;°F
  2026-11-30 14:05,21.5             0;70
  2026-11-30 14:35,22              0,5;71,5

Time counts from the first line; with --batch, from when the last of that batch was placed: as was said when it was
closed, else from its last water. The recipe of the batch may say its own times of stripping and sealing.
"""


def run(words: Sequence[str]) -> int:
    """Read the log and say when the piece may be stripped and sanded."""
    parser = Parser(
        prog="mixstation cure",
        description="When a piece may be stripped and sanded, from temperatures logged beside it.",
        epilog=EPILOG,
    )
    parser.add_argument("file", metavar="FILE", help="the log: CSV")
    parser.add_argument("--batch", metavar="ID", help="whose piece it is, as listed by: mixstation records")
    parser.add_units(help="what is written in")
    given = parser.parse_args(words)
    log = read_log(read_text_file(given.file), given.file)
    units = DisplayUnits(str(given.units or own_settings().get("units", "metric")))
    if not given.batch:
        lines = curing_lines(curing(log.history), log.began, units)
    else:
        batch, placed_at = _batch(given.batch)
        log = since(log, placed_at, given.file)
        recipe = batch.recipe
        lines = curing_lines(
            curing(log.history, own_strip_h(recipe)),
            log.began,
            units,
            moist=curing_polymer(recipe, batch.content) is None,
            own_seal_h=None if recipe.seal_min is None else recipe.seal_min / 60,
        )
    print("\n".join(lines))
    return 0


def _batch(asked: str) -> tuple[Run, datetime]:
    """A batch, and the local time at which the last of it was placed, with its zone.

    Raises:
        SystemExit: It is still open, or was discarded.
    """
    with closing(Journal.open_reading(data_folder())) as journal:
        run = fold(stored_entries(journal, find_batch(journal, asked)))
    stamp = placed(run)
    placed_at = local(stamp) if stamp is not None else None
    if placed_at is None:
        sys.exit(NEVER_CLOSED)
    return run, placed_at
