"""Stands where the front end would, so that a command's own desk is answered in this process."""

import time
from collections.abc import Callable
from typing import Any

from mixstation.station.view import Answer, View
from tests.planning.typist import line_for


class Front:
    """Stands where the front end would: opens the desk and keeps it."""

    def __init__(self) -> None:
        self.desk: Any = None
        self.plain = False

    def __call__(self, open_desk: Callable[[], Any], *, plain: bool) -> int:
        self.desk, self.plain = open_desk(), bool(plain)
        return 0

    def says(self, typed: str = "", pressed: str = "enter") -> View:
        """Answer the question at hand; what is shown then."""
        before = self.desk.view()
        self.desk.answer(Answer(question=before.question.ident, pressed=pressed, typed=typed))
        end_s = time.monotonic() + 30
        while self.desk.view().answered == before.answered:
            assert time.monotonic() < end_s
            time.sleep(0.002)
        view: View = self.desk.view()
        return view

    def mixes(self, typed: Callable[[View], str | None] = line_for, until: str = "\0") -> list[View]:
        """Answer everything to the end, or until something is asked; every view on the way."""
        seen: list[View] = []
        end_s = time.monotonic() + 60
        while time.monotonic() < end_s:
            view: View = self.desk.view()
            if view.ended or until in view.question.ask:
                return seen
            line = typed(view)
            if line is None:
                time.sleep(0.005)
                continue
            seen.append(view)
            number = next((str(each.number) for each in view.question.choices), "")
            self.says(line or number)
        raise AssertionError(self.desk.view())
