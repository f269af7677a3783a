"""Options that every command at the bucket shares, and what they mean."""

import argparse
import getpass
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from mixstation.cli.parser import UNITS
from mixstation.cli.settings_file import (
    as_far_as_read,
    divisions_said,
    own_settings,
    read_settings,
    settings_path,
)
from mixstation.station.bench import Settings
from mixstation.units.plausible import read_plausible
from mixstation.units.settings import OnFile
from mixstation.units.show import DisplayUnits

if TYPE_CHECKING:
    from mixstation.toml.lines import FileFault


def add_bench_words(parser: argparse.ArgumentParser) -> None:
    """How the batch is shown and weighed."""
    shown = parser.add_argument_group("at the bucket")
    either_way = argparse.BooleanOptionalAction
    shown.add_argument(
        "--plain",
        action=either_way,
        help="lines instead of the screen (screen readers, scripts)",
    )
    shown.add_argument("--units", choices=UNITS, default="metric", help="what is shown")
    shown.add_argument(
        "--hands-free", default="4 s", metavar="TIME", help='a steady right weight takes itself; "0 s" never'
    )
    shown.add_argument("--who", type=str, default="", metavar="NAME", help="who is mixing, for the record")
    shown.add_argument(
        "--decimal-comma",
        action=either_way,
        help="a comma in typed numbers is always a decimal mark",
    )
    shown.add_argument("--beside", action="store_true", help="begin a batch though another is still open")
    scale = parser.add_argument_group("scale")
    scale.add_argument(
        "--port",
        metavar="PORT",
        help="serial port of the scale; without one, weights are typed; an open batch keeps its own",
    )
    scale.add_argument("--profile", metavar="NAME", help="scale profile; without one, found by listening")
    scale.add_argument(
        "--division", default="1 g", metavar="MASS", help="smallest step of the scale you read from"
    )


def read(
    parser: argparse.ArgumentParser, words: Sequence[str], *, at_the_bucket: bool = False
) -> argparse.Namespace:
    """Parse words, with the mixer's own settings where an option is not given.

    Args:
        parser: Of the command.
        words: The words behind the command.
        at_the_bucket: Go on though the settings file is damaged: concrete does not wait for it.

    Returns:
        The words; `said` holds those that were said as options, `on_file` what the settings say, `to_show` what
        is wrong with those.

    Raises:
        FileRefused: The settings file cannot be used, and nothing waits for it.
    """
    known = {action.dest for action in parser._actions}
    parsed = vars(parser.parse_args(words, argparse.Namespace(**dict.fromkeys(known))))
    faults: tuple[FileFault, ...] = ()
    if at_the_bucket and os.path.lexists(settings_path()):
        settings, faults = as_far_as_read(read_settings)
    else:
        settings = own_settings()
    parser.set_defaults(**{key: value for key, value in settings.items() if key in known})
    given = parser.parse_args(words)
    given.to_show = say_damaged(faults)
    given.said = {name: value for name, value in parsed.items() if value is not None}
    given.on_file = {**settings, **as_far_as_read(divisions_said)[0]}
    return given


def say_damaged(faults: "Sequence[FileFault]") -> str:
    """Say in full what is wrong with the settings file; gives it in a line to show once more, "" where it is sound."""
    if not faults:
        return ""
    from mixstation.wording.error_lines import fault_lines
    from mixstation.wording.kept_lines import damaged_line

    line = damaged_line(faults)
    print(line, *fault_lines(faults), sep="\n", file=sys.stderr)
    return line


def settings_of(given: argparse.Namespace) -> Settings:
    """The mixer's settings.

    Raises:
        UnitsError: A quantity could not be read.
    """
    return Settings(
        units=DisplayUnits(given.units),
        division_mg=round(read_plausible("division", given.division, "g")),
        hands_free_s=float(read_plausible("hands-free time", given.hands_free, "s")),
        decimal_comma=bool(given.decimal_comma),
        plain=bool(given.plain),
        on_file=tuple(OnFile(key=key, value=str(given.on_file[key])) for key in sorted(given.on_file)),
    )


def who_of(given: argparse.Namespace) -> str:
    """Who is mixing."""
    if given.who:
        return str(given.who)
    try:
        return getpass.getuser()
    except (KeyError, OSError):
        return ""


def if_given(name: str, text: str | None, unit: str | None = None) -> float | None:
    """A number that need not be given.

    Args:
        name: What it is, by its range.
        text: As typed; None or "" where it is not given.
        unit: Of a bare number; None where it must name one.

    Raises:
        UnitsError: It could not be read.
    """
    return float(read_plausible(name, text, unit)) if text else None


def bare_unit(given: argparse.Namespace, metric: str, us: str) -> str:
    """The unit of a number that has none of its own."""
    return metric if DisplayUnits(given.units) is DisplayUnits.METRIC else us


def litres(text: str) -> float:
    """The volume of a bucket in litres.

    Raises:
        UnitsError: It could not be read.
    """
    return float(read_plausible("bucket volume", text, "L")) / 1000


def folder() -> Path:
    """Where journal and records live."""
    from mixstation.record.paths import data_folder

    return data_folder()
