"""One running batch: owns clock, scale and journal; answers in, views out. Its own thread does all the work.

Rules: only the station's thread touches the keeper, the journal and the watch; `view` hands out an immutable
snapshot and `answer` only queues, so no front end can be held up by a disk or a port, nor hold them up. While a disk
holds up the station itself, `view` shows no weight: an old one would be poured by.
"""

import queue
import threading
import time
from collections.abc import Callable
from dataclasses import replace
from typing import Literal

from mixstation.station.session import Session
from mixstation.station.view import Answer, View
from mixstation.wording.view_lines import HELD_UP, NOT_YET, STANDS_STILL

# How often a weight that moves is looked at, and how often all is while nothing moves.
# Choice: a pour does not stumble, nor does a count of seconds, and waiting costs next to nothing.
TICK_S, STILL_S = 0.06, 0.25


# Choice: longer than working out the ways takes, shorter than a pour runs on unseen.
HELD_UP_S = 1.5


Stop = Literal["stop"]
Heard = Literal["heard"]


class StationError(RuntimeError):
    """The station's thread has ended on an error of the program, its cause."""


class Station:
    """A running batch for any front end. Safe from any thread."""

    def __init__(self, open_session: Callable[[], Session]) -> None:
        """Open the session in the station's own thread and wait for its first view.

        Args:
            open_session: Opens journal, batch and scale; called in the station's thread, which then owns them.

        Raises:
            Exception: Whatever `open_session` raised.
        """
        self._inbox: queue.SimpleQueue[Answer | Stop | Heard] = queue.SimpleQueue()
        self._heard = False
        self._watchers: list[Callable[[], None]] = []
        self._view: View | None = None
        self._held_up: tuple[View, View] | None = None
        self._looked_s = time.monotonic()
        self._failed: BaseException | None = None
        self._ready = threading.Event()
        self._thread = threading.Thread(target=self._run, args=(open_session,), name="station", daemon=True)
        self._thread.start()
        self._ready.wait()
        if self._failed is not None:
            raise self._failed

    def view(self) -> View:
        """The latest view; the same object until something has changed.

        Raises:
            StationError: The station has failed; the batch is kept as far as it was saved.
        """
        if self._failed is not None:
            raise StationError from self._failed
        view = self._view
        assert view is not None
        if view.ended or time.monotonic() - self._looked_s < HELD_UP_S:
            return view
        if self._held_up is None or self._held_up[0] is not view:
            self._held_up = (view, held_up(view))
        return self._held_up[1]

    def answer(self, answer: Answer) -> None:
        """Hand in what the mixer did; what came of it shows in a later view."""
        self._inbox.put(answer)

    def watch(self, call: Callable[[], None]) -> None:
        """Have `call` run in the station's thread when the view has changed, live weights at most once a tick."""
        self._watchers.append(call)

    def stop(self) -> None:
        """Release scale and journal. May be called more than once."""
        self._inbox.put("stop")
        self._thread.join(2.0)

    def _run(self, open_session: Callable[[], Session]) -> None:
        try:
            session = open_session()
            self._publish(session.view())
            self._looked_s = time.monotonic()
        except BaseException as error:
            self._failed = error
            self._ready.set()
            return
        self._ready.set()
        try:
            self._work(session)
        except BaseException as error:
            # A screen that stands still would be taken for a mix that stands still: whoever looks next is told.
            self._failed = error
            self._tell()
        finally:
            session.close()
            # What could be saved at last, and what could not, is so from now on.
            self._publish(session.view())

    def _work(self, session: Session) -> None:
        ticked_s = time.monotonic()
        session.tell(self._hear)
        while True:
            # What comes by itself comes between answers too, however many there are.
            due_s = ticked_s + (TICK_S if session.moved() else STILL_S) - time.monotonic()
            ticks = due_s <= 0
            if ticks:
                session.tick()
            else:
                try:
                    what = self._inbox.get(timeout=due_s)
                except queue.Empty:
                    continue
                if what == "stop":
                    return
                if what == "heard":
                    self._heard = False
                    continue
                session.answer(what)
            self._publish(session.view())
            self._looked_s = time.monotonic()
            # From the end of a look on, so that answers are taken between looks however long one takes.
            ticked_s = self._looked_s if ticks else ticked_s

    def _hear(self) -> None:
        # One word at a time: a station that a disk holds up is not buried under what it did not look at.
        if not self._heard:
            self._heard = True
            self._inbox.put("heard")

    def _publish(self, view: View) -> None:
        """Put a view out if it is another, and tell of it."""
        before = self._view
        if before is not None and replace(view, serial=before.serial) == before:
            return
        self._view = replace(view, serial=1 if before is None else before.serial + 1)
        self._tell()

    def _tell(self) -> None:
        for call in self._watchers:
            call()


def held_up(view: View) -> View:
    """The last view without its weights, its figure and its timer, and with what the matter is."""
    pour = view.pour and replace(view.pour, actual="—", fraction=None, place="unsure", cue="", cue_words="")
    scale = replace(view.scale, state=STANDS_STILL, text="", fresh=False) if view.scale.text else view.scale
    # No key promises to take a weight that is no longer seen.
    question = replace(view.question, enter="") if pour is not None else view.question
    return replace(
        view,
        question=question,
        figure=None,
        countdown=None,
        pour=pour,
        scale=scale,
        saved=NOT_YET,
        notice=HELD_UP,
    )
