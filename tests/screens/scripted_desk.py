"""A desk that goes through a script of views."""

import threading
from collections.abc import Callable, Sequence
from dataclasses import replace

from mixstation.station.view import Answer, View


class ScriptedDesk:
    """Shows views in turn: every answer to the question shown brings the next, any other changes nothing."""

    def __init__(self, views: Sequence[View]) -> None:
        self._views = list(views)
        self._at = 0
        self._lock = threading.Lock()
        self._watchers: list[Callable[[], None]] = []
        self._counted: View | None = None
        self.answers: list[Answer] = []
        self.stops = 0

    def view(self) -> View:
        with self._lock:
            view = replace(self._views[self._at], answered=len(self.answers))
            if view != self._counted:
                self._counted = view
            assert self._counted is not None
            return self._counted

    def answer(self, answer: Answer) -> None:
        with self._lock:
            self.answers.append(answer)
            known = answer.question == self._views[self._at].question.ident
            if known and self._at + 1 < len(self._views):
                self._at += 1
        self._tell()

    def put(self, view: View) -> None:
        """Put out a view and tell nobody."""
        with self._lock:
            self._views[self._at] = view

    def show(self, view: View) -> None:
        """Put out a view and tell of it."""
        self.put(view)
        self._tell()

    def watch(self, call: Callable[[], None]) -> None:
        self._watchers.append(call)

    def stop(self) -> None:
        self.stops += 1

    def _tell(self) -> None:
        for call in self._watchers:
            call()
