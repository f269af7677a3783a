"""A job at the desk, for any front end: one stage after the other, in a thread that does all the work."""

import queue
import threading
from collections.abc import Callable
from dataclasses import replace

from mixstation.planning.job import Job
from mixstation.planning.stages import Stage
from mixstation.station.view import Answer, View
from mixstation.wording.error_lines import reason

_STOP, _LOOK = "stop", "look"


class JobDesk:
    """A job as a front end sees it. Safe from any thread; no call blocks but the last `stop`."""

    def __init__(self, job: Job, open_first: Callable[[Job], Stage]) -> None:
        """Open the first stage.

        Raises:
            Exception: Whatever `open_first` raised.
        """
        self._inbox: queue.SimpleQueue[Answer | str] = queue.SimpleQueue()
        self._watchers: list[Callable[[], None]] = []
        self._job = job
        job.changed = self._stage_changed
        # The stage shown, and how many answers were handled before it: always changed together.
        self._at: tuple[Stage, int] = (open_first(job), 0)
        self._counted: tuple[View, int, View] | None = None
        self._thread = threading.Thread(target=self._run, name="job", daemon=True)
        self._thread.start()

    def view(self) -> View:
        """The latest view; the same object until something has changed.

        Raises:
            StationError: The station has failed; the batch is kept as far as it was saved.
        """
        stage, before_count = self._at
        view = stage.view()
        # An answer that ended a stage is handled once the next one stands.
        answered = before_count + view.answered - stage.over
        if answered == view.answered:
            return view
        counted = self._counted
        if counted is None or counted[0] is not view or counted[1] != answered:
            self._counted = counted = (view, answered, replace(view, answered=answered))
        return counted[2]

    def answer(self, answer: Answer) -> None:
        """Hand in what the person did; what came of it shows in a later view."""
        self._inbox.put(answer)

    def watch(self, call: Callable[[], None]) -> None:
        """Have `call` run when the view has changed."""
        self._watchers.append(call)

    def stop(self) -> None:
        """Release scale and journal. May be called more than once."""
        self._inbox.put(_STOP)
        self._thread.join(3.0)

    @property
    def _stage(self) -> Stage:
        return self._at[0]

    def _stage_changed(self) -> None:
        """Runs in a station's thread."""
        self._inbox.put(_LOOK)
        self._tell()

    def _run(self) -> None:
        try:
            while (item := self._inbox.get()) != _STOP:
                before = self._stage.view()
                if isinstance(item, Answer):
                    self._answered(item)
                if self._stage.over:
                    self._go_on()
                if self._stage.view() is not before:
                    self._tell()
        except RuntimeError:
            # A station that failed says so to whoever looks next.
            self._tell()
        finally:
            self._stage.stop()

    def _answered(self, answer: Answer) -> None:
        try:
            self._stage.answer(answer)
        except Exception as error:
            self._stage.say(reason(error))

    def _go_on(self) -> None:
        """Release the stage that is over, for the next one may need what it held."""
        over, before_count = self._at
        over.stop()
        handled_count = before_count + over.view().answered
        try:
            self._at = (self._job.after(over), handled_count)
        except Exception as error:
            over.say(reason(error))

    def _tell(self) -> None:
        for call in self._watchers:
            call()
