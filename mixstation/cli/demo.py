"""`mixstation demo`: a whole batch in the real screen, fed by an emulated scale through a pseudo-terminal."""

import os
import tempfile
import threading
import time
from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

from mixstation.cli.bench_words import add_bench_words, read, settings_of, who_of
from mixstation.cli.parser import Parser
from mixstation.cli.show_desk import show
from mixstation.recipe.shelf import find_recipe
from mixstation.units.parse import parse_mass_mg

if TYPE_CHECKING:
    from mixstation.scale.emulator import EmulatedScale
    from mixstation.station.view import Desk, Pour

PROFILE = "header-token-line"
RECIPE = "hearth_plate"
# Choice: a calm hand; a dose takes about this long, and it looks for a moment before it begins.
DOSE_S, LOOK_S, TICK_S = 5.0, 1.0, 0.05
SLOW_PART = 3


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


class DemoHand:
    """Pours what the screen asks for, slows and stops on its cues. Runs in a thread of its own."""

    def __init__(self, desk: "Desk", scale: "EmulatedScale", bucket_mg: int = 1_240_000) -> None:
        """Put the bucket on the scale.

        Args:
            desk: What is looked at.
            scale: What is poured into.
            bucket_mg: Mass of the empty bucket.
        """
        self._desk = desk
        self._scale = scale
        self._stop = threading.Event()
        self._seen = ""
        self._since_s = 0.0
        self._rate_mg_s = 0
        scale.put_mg(bucket_mg)
        self._thread = threading.Thread(target=self._run, name="demo-hand", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Let go."""
        self._stop.set()
        self._thread.join(1.0)

    def _run(self) -> None:
        while not self._stop.wait(TICK_S):
            view = self._desk.view()
            if view.question.ident != self._seen:
                self._seen, self._since_s = view.question.ident, time.monotonic()
                self._turn(0)
            if view.pour is not None and view.pour.fraction is not None and not view.question.grave:
                self._pour(view.pour, takes_out=view.figure is not None and "take-out" in view.question.ident)
            else:
                self._turn(0)

    def _pour(self, pour: "Pour", *, takes_out: bool) -> None:
        if time.monotonic() - self._since_s < LOOK_S:
            return
        full = max(2_000, round(parse_mass_mg(pour.target) / DOSE_S)) * (-1 if takes_out else 1)
        rates = {"pour": full, "slow": full // SLOW_PART}
        self._turn(rates.get(pour.cue, 0))

    def _turn(self, rate_mg_s: int) -> None:
        """Change the stream only when it is to change."""
        if rate_mg_s == self._rate_mg_s:
            return
        self._scale.stop_pour()
        if rate_mg_s:
            self._scale.pour(rate_mg_s)
        self._rate_mg_s = rate_mg_s
