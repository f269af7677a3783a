"""A person at the desk who types, in line mode, what the view asks for."""

import io
import time
from collections.abc import Iterable, Iterator

from mixstation.lines.front import run_lines
from mixstation.station.view import Desk, View
from mixstation.units.parse import parse_mass_mg

PATIENCE_S = 90.0
LOOK_S = 0.01
KEEP_ON = "keep on"
# What a real hand adds to a dose of more than a kilogram.
OFF_MG = 3_000


def line_for(view: View) -> str | None:
    """What is typed at a batch's view; None while a timer keeps the hands busy."""
    question = view.question
    if view.countdown is not None and view.countdown.words == KEEP_ON and not question.grave:
        return None
    if question.choices:
        return str(question.choices[0].number)
    if question.entry == "mass" and view.pour is not None:
        mass_mg = parse_mass_mg(view.pour.target)
        return f"{(mass_mg + (OFF_MG if mass_mg > 1_000_000 else 0)) / 1000:.1f} g"
    return {"temperature": "21", "whole": "220"}.get(question.entry, "")


class Typist(io.StringIO):
    """Types the lines given, then whatever the desk asks for, and reads what came of each before the next."""

    def __init__(self, desk: Desk, first: Iterable[str], until: str) -> None:
        super().__init__()
        self._desk, self._first, self._until = desk, list(first), until

    def __iter__(self) -> Iterator[str]:  # type: ignore[override]
        while (line := self._next()) is not None:
            before = self._desk.view()
            yield f"{line}\n"
            self._read(before)

    def _next(self) -> str | None:
        """The next line, once there is one to type; None to leave."""
        if self._first:
            return self._first.pop(0)
        end_s = time.monotonic() + PATIENCE_S
        while time.monotonic() < end_s:
            view = self._desk.view()
            if view.ended or self._until in view.question.ask:
                return None
            if (line := line_for(view)) is not None:
                return line
            time.sleep(LOOK_S)
        raise AssertionError(f"nothing came of it: {self._desk.view()}")

    def _read(self, before: View) -> None:
        end_s = time.monotonic() + PATIENCE_S
        while time.monotonic() < end_s:
            now = self._desk.view()
            if now.ended or (now.question.ident, now.answered) != (before.question.ident, before.answered):
                return
            time.sleep(LOOK_S)


def typed_through(desk: Desk, first: Iterable[str] = (), until: str = "\0") -> str:
    """Everything line mode says until the job is over, or until something is asked at which the person leaves.

    Args:
        desk: The job; it is stopped at the end.
        first: Lines typed before what the views ask for.
        until: Part of the question at which the person leaves.
    """
    said = io.StringIO()
    try:
        assert run_lines(desk, Typist(desk, first, until), said) == 0
    finally:
        desk.stop()
    return said.getvalue()
