"""What a front end needs of a running batch, so that screen and line mode depend on nothing else."""

from collections.abc import Callable
from typing import Protocol

from mixstation.station.view import Answer, View


class Desk(Protocol):
    """A running batch as a front end sees it. Safe from any thread; no call blocks."""

    def view(self) -> View:
        """The latest view. The same object comes back until something has changed.

        Raises:
            RuntimeError: The desk has failed, its cause; nothing more will come of it.
        """

    def answer(self, answer: Answer) -> None:
        """Hand in what the mixer did; what came of it shows in a later view."""

    def watch(self, call: Callable[[], None]) -> None:
        """Have `call` run, in another thread, when the view has changed; of live weights a few times a second."""

    def stop(self) -> None:
        """Release scale and record. May be called more than once."""
