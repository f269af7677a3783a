"""`mixstation demo`: a whole batch in the real screen, fed by an emulated scale through a pseudo-terminal."""

import os
import tempfile
from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

from mixstation.cli.bench_words import add_bench_words, read, settings_of, who_of
from mixstation.cli.parser import Parser
from mixstation.cli.show_desk import show
from mixstation.recipe.shelf import find_recipe

if TYPE_CHECKING:
    from mixstation.station.view import Desk

PROFILE = "header-token-line"
RECIPE = "hearth_plate"


def run(words: Sequence[str]) -> int:
    """Mix the demonstration batch; nothing of it goes among the user's own records."""
    parser = Parser(
        prog="mixstation demo",
        description="A whole batch on an emulated scale whose hand pours by itself. Press Enter for what the screen "
        "asks. Records of the demonstration are kept apart, in a folder of its own.",
    )
    parser.add_argument("--recipe", default=RECIPE, help="another recipe of the shelf")
    parser.add_argument("--powder", default="8 kg", metavar="MASS", help="all dry powders together")
    add_bench_words(parser)
    given = read(parser, words)
    settings, who, recipe = settings_of(given), who_of(given), find_recipe(given.recipe)
    with ExitStack() as leaving:
        home = Path(tempfile.mkdtemp(prefix="mixstation-demo-"))
        # Also where a home is named: what is only shown must neither lie among the records nor draw on the stock.
        os.environ["MIXSTATION_HOME"] = str(home)

        def open_desk() -> "Desk":
            from mixstation.cli.bench_words import folder
            from mixstation.cli.demo_hand import DemoHand
            from mixstation.cli.records import write_record
            from mixstation.recipe.file import load_recipe
            from mixstation.scale.emulator import EmulatedScale
            from mixstation.scale.profile_folder import find_profile
            from mixstation.scale.pty_port import PtyPort
            from mixstation.scale.serial_link import SerialLink
            from mixstation.station.bench import Bench
            from mixstation.station.opening import begin
            from mixstation.station.order import Order, powders_for
            from mixstation.units.plausible import read_plausible

            profile = find_profile(PROFILE)
            scale = EmulatedScale(seed=1)
            port = PtyPort(scale, profile)
            leaving.callback(port.stop)
            port.start()
            loaded = load_recipe(recipe)
            order = Order(
                loaded=loaded,
                powders=powders_for(
                    loaded, powder_mg=round(read_plausible("batch mass", given.powder, "kg"))
                ),
                piece="demonstration",
            )
            bench = Bench(
                folder=folder(),
                settings=settings,
                who=who,
                link=lambda: SerialLink(port.name, profile),
                at_end=write_record,
            )
            desk = begin(bench, order)
            leaving.callback(DemoHand(desk, scale).stop)
            return desk

        return show(open_desk, plain=given.plain)
