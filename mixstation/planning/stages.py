"""The stages of a job at the desk beside its planning talk: a bucket being mixed, the question between, the end."""

from collections.abc import Callable
from dataclasses import replace
from typing import Protocol

from mixstation.planning.pages import bare_view
from mixstation.station.station import Station
from mixstation.station.view import Act, Answer, Question, View
from mixstation.wording import planning as words

LATER = Act(name="later", pad="-", letter="l", words=words.LATER_WORDS)


class Stage(Protocol):
    """What a job shows at one time. Only `view` is called from other threads."""

    @property
    def over(self) -> bool:
        """Whether it has come to its end, so that the next stage is due."""

    def view(self) -> View:
        """What it shows; the same object until something has changed."""

    def answer(self, answer: Answer) -> None:
        """Hand in what the person did."""

    def say(self, notice: str) -> None:
        """The next stage could not be had: stay, and say why."""

    def stop(self) -> None:
        """Release what it holds."""


class Mixing:
    """A bucket being mixed. That it is over is not shown as the end: the job may go on."""

    def __init__(self, station: Station, number: int, changed: Callable[[], None]) -> None:
        """Show a station; `changed` is called, from its thread, when it shows something else."""
        self.number = number
        self._station = station
        self._masked: tuple[View, View] | None = None
        station.watch(changed)

    @property
    def over(self) -> bool:
        """The batch has ended and was left."""
        return self._station.view().ended

    def view(self) -> View:
        """The batch as the station shows it."""
        view = self._station.view()
        if not view.ended:
            return view
        if self._masked is None or self._masked[0] is not view:
            self._masked = (view, replace(view, ended=False))
        return self._masked[1]

    def answer(self, answer: Answer) -> None:
        """Pass it on."""
        self._station.answer(answer)

    def say(self, notice: str) -> None:
        """The station has its own notices, and nothing follows it that could fail."""

    def stop(self) -> None:
        """Release scale and journal."""
        self._station.stop()


class Between:
    """Whether the next bucket is mixed now; `mixes` is what was answered, None while it is not."""

    def __init__(
        self, *, number: int, count: int, done: int, again: bool, notice: str, title: str, told: str = ""
    ) -> None:
        """Ask; `again` where the bucket was discarded and would be mixed again; `told` is what it got."""
        self.number = number
        self.mixes: bool | None = None
        ask = words.AGAIN_ASK if again else words.NEXT_ASK
        self._question = Question(
            ident=f"between/{done}/{number}",
            ask=ask.format(done=done, count=count, number=number),
            detail=(*filter(None, (told,)), words.NEXT_DETAIL),
            enter=words.NEXT_ENTER.format(number=number),
            acts=(LATER,),
        )
        # Below nought, so that it is told from the views of a bucket.
        self._view = replace(bare_view(self._question, notice=notice, title=title), serial=-1)

    @property
    def over(self) -> bool:
        """It was answered."""
        return self.mixes is not None

    def view(self) -> View:
        """The question."""
        return self._view

    def answer(self, answer: Answer) -> None:
        """Enter mixes."""
        if answer.question == self._question.ident and answer.pressed in ("enter", LATER.name):
            self.mixes = answer.pressed == "enter"
        self._view = replace(self._view, answered=self._view.answered + 1, serial=self._view.serial - 1)

    def say(self, notice: str) -> None:
        """Ask again."""
        self._view = replace(self._view, notice=notice, serial=self._view.serial - 1)
        self.mixes = None

    def stop(self) -> None:
        """Nothing is held."""


class Ended:
    """The end of the job: the last thing shown, which the front end may close."""

    def __init__(self, last: View, *, parting: str) -> None:
        """Show it; `parting` is said once the front end has closed, after what was shown last says of itself."""
        said = " ".join(filter(None, (last.parting, parting)))
        self._view = replace(last, ended=True, parting=said, serial=last.serial + 1, answered=0)

    over = False

    def view(self) -> View:
        """The last thing shown."""
        return self._view

    def answer(self, answer: Answer) -> None:
        """There is nothing more to answer."""

    def say(self, notice: str) -> None:
        """There is nothing more to come."""

    def stop(self) -> None:
        """Nothing is held."""
