"""The one widget: rows of the board on the terminal, repainting only rows that have changed."""

from collections.abc import Callable

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from mixstation.screens.rows import Look, Row

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


class Canvas(Widget):
    """Shows the rows that `draw` gives for its size."""

    DEFAULT_CSS = "Canvas { width: 1fr; height: 1fr; background: ansi_default; color: ansi_default; }"
    ALLOW_SELECT = False

    def __init__(self, draw: Callable[[int, int], tuple[Row, ...]]) -> None:
        super().__init__()
        self._draw = draw
        self._rows: tuple[Row, ...] = ()

    def redraw(self) -> None:
        """Ask for the rows again and repaint those that differ."""
        columns, height = self.size
        if columns < 1 or height < 1:
            return
        old, self._rows = self._rows, self._draw(columns, height)
        if len(old) != len(self._rows):
            self.refresh()
            return
        changed = [y for y, (before, now) in enumerate(zip(old, self._rows, strict=True)) if before != now]
        if changed:
            self.refresh(*(Region(0, y, columns, 1) for y in changed), layout=False)

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.redraw()
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """One row of the terminal."""
        line = self._rows[y] if y < len(self._rows) else ()
        strip = Strip([Segment(text, STYLES[look]) for text, look in line])
        return strip.adjust_cell_length(self.size.width)
