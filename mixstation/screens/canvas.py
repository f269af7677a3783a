"""What the terminal library has to be taught: to write changed cells alone, and to bear what a yard sends it."""

import os
import signal
import sys
from collections.abc import Callable, Iterator
from encodings.utf_8 import IncrementalDecoder

from rich.cells import cell_len
from rich.console import Console
from rich.control import Control
from rich.segment import Segment
from rich.style import Style
from textual import _ansi_sequences
from textual._compositor import ChopsUpdate, Compositor
from textual.driver import Driver
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from mixstation.screens.rows import Look, Row, columns_of

# Text colours come with a background of their own, so that they read on dark and light terminals alike.
STYLES: dict[Look, Style] = {
    "plain": Style(),
    "strong": Style(bold=True),
    "cap": Style(bold=True, reverse=True),
    "good": Style(bold=True, color="black", bgcolor="green"),
    "warn": Style(bold=True, color="black", bgcolor="yellow"),
    "stop": Style(bold=True, color="bright_white", bgcolor="red"),
    "note": Style(bold=True, color="black", bgcolor="cyan"),
}


# Moving the cursor and setting a style again takes as many bytes as these cells.
_CLOSE_COLUMNS = 8


class Canvas(Widget):
    """Shows the rows that `draw` gives for its size."""

    DEFAULT_CSS = "Canvas { width: 1fr; height: 1fr; background: ansi_default; color: ansi_default; }"
    ALLOW_SELECT = False

    def __init__(self, draw: Callable[[int, int], tuple[Row, ...]]) -> None:
        super().__init__()
        self._draw = draw
        self._rows: tuple[Row, ...] = ()

    def redraw(self) -> None:
        """Ask for the rows again and repaint the cells that differ."""
        columns, height = self.size
        if columns < 1 or height < 1:
            return
        old, self._rows = self._rows, self._draw(columns, height)
        if len(old) != len(self._rows):
            self.refresh()
            return
        changed = [
            Region(start, y, end - start, 1)
            for y, (before, now) in enumerate(zip(old, self._rows, strict=True))
            if before != now
            for start, end in changed_spans(before, now, columns)
        ]
        if changed:
            self.refresh(*changed, layout=False)

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.redraw()
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """One row of the terminal."""
        line = self._rows[y] if y < len(self._rows) else ()
        strip = Strip([Segment(text, STYLES[look]) for text, look in line])
        return strip.adjust_cell_length(self.size.width)


def changed_spans(before: Row, now: Row, columns: int) -> Iterator[tuple[int, int]]:
    """First column and the one past the last of each run of cells that differ; runs close together are one."""
    old, new = _cells(before, columns), _cells(now, columns)
    if len(old) != columns or len(new) != columns:
        # Characters that together take another width than one by one: which column is which is not known.
        yield 0, columns
        return
    start = end = -1
    for at in range(columns):
        if old[at] == new[at]:
            continue
        if start < 0:
            start = at
        elif at - end > _CLOSE_COLUMNS:
            yield start, end
            start = at
        end = at + 1
    if start >= 0:
        yield start, end


def _cells(line: Row, columns: int) -> list[tuple[str, Look]]:
    """What stands in each column, the second of a wide character being empty; too few where that cannot be said."""
    cells: list[tuple[str, Look]] = []
    for text, look in line:
        for character in text:
            cells.append((character, look))
            cells.extend([("", look)] * (cell_len(character) - 1))
    taken = columns_of(line)
    return cells + [(" ", "plain")] * (columns - taken) if len(cells) == taken else []


class CellCompositor(Compositor):
    """Writes the spans that were asked for; the library's own writes each row from its beginning."""

    def render_partial_update(self) -> ChopsUpdate | None:
        """The update of what has changed, None where nothing has."""
        update = super().render_partial_update()
        return None if update is None else _SpansUpdate(update.chops, update.spans, update.chop_ends)


class _SpansUpdate(ChopsUpdate):
    def render_segments(self, console: Console) -> str:
        written = []
        for y, start, end in self.spans:
            for x, strip in self.chops[y].items():
                part = None if strip is None else strip.crop(max(start - x, 0), max(end - x, 0))
                if part:
                    written.append(Control.move_to(max(start, x), y).segment.text + part.render(console))
        return "".join(written)


PAD_SEQUENCE = "\x1bOl"


PLUS_TERMINALS = ("linux", "putty")


class KeyDecoder(IncrementalDecoder):
    """Puts U+FFFD for bytes that are not text, and tells of the end of input, which the driver reads on and on."""

    def __init__(self) -> None:
        super().__init__("replace")

    def decode(self, input: bytes, final: bool = False) -> str:  # type: ignore[override] # noqa: A002
        """The text so far.

        Raises:
            EOFError: There will be no more.
        """
        if not input:
            raise EOFError
        return super().decode(input, final)


def pad_key() -> str:
    """What the one sequence means on which terminals differ: the pad's plus on a console, else its comma."""
    return "+" if os.environ.get("TERM", "").startswith(PLUS_TERMINALS) else ","


def driver_class() -> type[Driver] | None:
    """The driver to run the screen with; None for the library's own choice."""
    if sys.platform == "win32":
        return None
    from textual.drivers import linux_driver

    # The driver looks both up as globals each time it starts to read; there is no setting for either.
    vars(linux_driver)["getincrementaldecoder"] = lambda _encoding: KeyDecoder
    vars(_ansi_sequences)["ANSI_SEQUENCES_KEYS"].setdefault(PAD_SEQUENCE, pad_key())

    class YardDriver(linux_driver.LinuxDriver):
        """Reads on after a sequence that cannot be read; a line that is gone counts as hung up."""

        def run_input_thread(self) -> None:
            while not self.exit_event.is_set():
                try:
                    super().run_input_thread()
                except (ValueError, OverflowError):
                    continue
                except (OSError, EOFError):
                    if not self.exit_event.is_set():
                        os.kill(os.getpid(), signal.SIGHUP)
                    return

        def _sigcont_application(self, *_: object) -> None:
            # A hang-up sends this to a screen that was never suspended: a second reader must not start.
            if self._key_thread is None or not self._key_thread.is_alive():
                super()._sigcont_application()

    return YardDriver
