"""`mixstation cure FILE`: how far a piece has cured, from a log of temperatures beside it."""

import argparse
import sys
from collections.abc import Sequence
from datetime import datetime

from mixstation.cli.settings_file import own_settings
from mixstation.units.show import DisplayUnits

EPILOG = """FILE has a time and a temperature on each line, and says in its first line what they are:

  time,°C                      or   hours;°F
  2026-11-30 14:05,21.5             0;70
  2026-11-30 14:35,22              0,5;71,5

Time counts from the first line; with --batch, from when that batch was closed.
"""


def run(words: Sequence[str]) -> int:
    """Read the log and say when the piece may be stripped and sanded."""
    parser = argparse.ArgumentParser(
        prog="mixstation cure",
        description="When a piece may be stripped and sanded, from temperatures logged beside it.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("file", metavar="FILE", help="the log: CSV")
    parser.add_argument("--batch", metavar="ID", help="whose piece it is, as listed by: mixstation records")
    parser.add_argument("--units", choices=[str(unit) for unit in DisplayUnits], help="what is written in")
    given = parser.parse_args(words)

    from mixstation.plan.curing import curing
    from mixstation.plan.temperature_log import read_log, since
    from mixstation.toml.lines import read_text_file
    from mixstation.wording.curing_lines import curing_lines

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
    from mixstation.account.say import local
    from mixstation.batch.events import BatchFinished
    from mixstation.batch.run import fold
    from mixstation.record.codec import read
    from mixstation.record.journal import Journal
    from mixstation.record.paths import data_folder
    from mixstation.record.stored import find_batch

    journal = Journal.open_reading(data_folder())
    try:
        batch_id = find_batch(journal, asked)
        run = fold(tuple(read(event.seq, event.body) for event in journal.events(batch_id)))
    finally:
        journal.close()
    stamps = [entry.stamp for entry in run.live if isinstance(entry.fact, BatchFinished)]
    closed = local(stamps[-1]) if stamps else None
    if closed is None:
        sys.exit("That batch was never closed. Close it first, or leave --batch out.")
    return closed
