"""Programs the screen benchmarks start: ours over a hand-made desk, and the terminal library alone.

Run by the other benchmarks: python -m tests.benchmarks.screen_subjects KIND [RATE]
"""

import sys
import threading
import time
from dataclasses import replace
from pathlib import Path

from tests.screens import views
from tests.screens.scripted_desk import ScriptedDesk

PICTURE = Path(__file__).parents[1] / "pinned" / "screens" / "pour-live-80x24.txt"
# As often as the station looks at its scale; its module would weigh on the figures.
TELL_EVERY_S = 0.07
STAMP = "{:.4f} s"
TURN_S = 10.0


def stamped() -> str:
    """A text, as short as a weight, that says when it was made, on the clock all processes share."""
    return STAMP.format(time.monotonic() % TURN_S)


def run_ours(rate: float, *, told: bool) -> int:
    """Our screen; `rate` readings a second, which the desk tells of as the station does or leaves to be polled."""
    from mixstation.screens.run import run_screen

    desk = ScriptedDesk([views.POUR_LIVE])

    def read() -> None:
        serial, told_s = 1000, 0.0
        while True:
            time.sleep(1 / rate)
            serial += 1
            scale = replace(views.LIVE, text=stamped())
            view = replace(views.POUR_LIVE, serial=serial, scale=scale)
            if not told:
                desk.put(view)
            elif time.monotonic() - told_s >= TELL_EVERY_S:
                told_s = time.monotonic()
                desk.show(view)

    if rate:
        threading.Thread(target=read, daemon=True).start()
    return run_screen(lambda: desk)


def run_library(rate: float, *, still: bool) -> None:
    """The library alone: the same text in a plain widget; a counter of keys; or readings put in by a timer."""
    from textual.app import App, ComposeResult
    from textual.events import Key
    from textual.widgets import Static

    text = PICTURE.read_text(encoding="utf-8")

    class Alone(App[None]):
        count = 0

        def compose(self) -> ComposeResult:
            yield Static("0", id="live", markup=False)
            yield Static(text, markup=False)

        def on_mount(self) -> None:
            if rate:
                self.set_interval(1 / rate, self.read)

        def read(self) -> None:
            self.query_one("#live", Static).update(stamped(), layout=False)

        def on_key(self, event: Key) -> None:
            if event.key != "ctrl+q" and not still:
                self.count += 1
                self.query_one("#live", Static).update(f"keys {self.count}", layout=False)

    Alone().run(mouse=False)


def main(kind: str, rate: str = "0") -> int:
    """Start one of them."""
    if kind in ("ours", "ours-polled"):
        return run_ours(float(rate), told=kind == "ours")
    run_library(float(rate), still=kind == "library-still")
    return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
