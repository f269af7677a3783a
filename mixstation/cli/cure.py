"""`mixstation cure FILE`: how far a piece has cured, from a log of temperatures beside it."""

import sys
from collections.abc import Sequence
from contextlib import closing
from datetime import datetime

from mixstation.account.say import local
from mixstation.batch.events import BatchFinished
from mixstation.batch.run import fold
from mixstation.cli.parser import Parser
from mixstation.cli.settings_file import own_settings
from mixstation.plan.curing import curing
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

Time counts from the first line; with --batch, from when that batch was closed.
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
    if given.batch:
        log = since(log, _closed(given.batch), given.file)
    units = DisplayUnits(str(given.units or own_settings().get("units", "metric")))
    print("\n".join(curing_lines(curing(log.history), log.began, units)))
    return 0


def _closed(asked: str) -> datetime:
    """Local time at which a batch was closed, with its zone.

    Raises:
        SystemExit: It is still open, or was discarded.
    """
    with closing(Journal.open_reading(data_folder())) as journal:
        run = fold(stored_entries(journal, find_batch(journal, asked)))
    stamps = [entry.stamp for entry in run.live if isinstance(entry.fact, BatchFinished)]
    closed = local(stamps[-1]) if stamps else None
    if closed is None:
        sys.exit(NEVER_CLOSED)
    return closed
