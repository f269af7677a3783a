"""One stage after the other at the desk: what fails is said where the person is, and everything is released."""

import threading
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from mixstation.planning.job import Job
from mixstation.planning.job_desk import JobDesk
from mixstation.planning.pages import bare_view
from mixstation.planning.stages import Ended, Stage
from mixstation.station.bench import Bench, Settings
from mixstation.station.view import Answer, Question, View
from mixstation.units.show import DisplayUnits
from tests.planning.waiting import until


class Scripted:
    """A stage that does with an answer what it is told to; answered with "on" it is over."""

    def __init__(self, does: Callable[[str], None] = lambda _: None) -> None:
        self.over = False
        self.stops = 0
        self.broken = False
        self._does = does
        self._view = bare_view(Question(ident="scripted", ask="What now?", enter="go"))

    def view(self) -> View:
        if self.broken:
            raise RuntimeError("a station that failed")
        return self._view

    def answer(self, answer: Answer) -> None:
        self._view = replace(self._view, answered=self._view.answered + 1)
        self._does(answer.typed)
        self.over = answer.typed == "on"
        self.broken = answer.typed == "break"

    def say(self, notice: str) -> None:
        self.over = False
        self._view = replace(self._view, notice=notice, serial=self._view.serial + 1)

    def stop(self) -> None:
        self.stops += 1


class Steps(Job):
    """What follows is said beforehand."""

    def __init__(self, folder: Path, following: Callable[[], Stage]) -> None:
        super().__init__(
            Bench(folder=folder, settings=Settings(), who=""),
            plans=folder,
            units=DisplayUnits.METRIC,
            stock=lambda: None,
        )
        self._following = following

    def after(self, stage: Stage) -> Stage:
        return self._following()


def _fails(typed: str) -> None:
    raise ValueError(f"not today: {typed}")


def _end() -> Stage:
    return Ended(bare_view(Question(ident="end", ask="Done.")), parting="Bye.")


def typed(desk: JobDesk, text: str) -> None:
    desk.answer(Answer(question="scripted", pressed="enter", typed=text))


def test_an_answer_that_fails_is_said_and_ends_nothing(tmp_path: Path) -> None:
    stage = Scripted(_fails)
    desk = JobDesk(Steps(tmp_path, _end), lambda _: stage)
    typed(desk, "3")
    assert "not today: 3" in until(lambda: desk.view().notice)
    desk.stop()
    assert stage.stops == 1


def test_a_stage_that_cannot_be_opened_leaves_the_one_before_and_says_why(tmp_path: Path) -> None:
    tries = iter([OSError(28, "No space left on device"), None])

    def following() -> Stage:
        if (error := next(tries)) is not None:
            raise error
        return _end()

    told: list[str] = []
    desk = JobDesk(Steps(tmp_path, following), lambda _: Scripted())
    desk.watch(lambda: told.append(desk.view().notice))
    typed(desk, "on")
    assert until(lambda: desk.view().notice)
    assert not desk.view().ended
    typed(desk, "on")
    assert until(lambda: desk.view().ended and desk.view()).parting == "Bye."
    desk.stop()
    assert told


def test_answers_are_counted_across_stages_and_one_that_ends_a_stage_once_the_next_stands(
    tmp_path: Path,
) -> None:
    opening, opened = threading.Event(), threading.Event()
    second = Scripted()

    def following() -> Stage:
        opening.set()
        assert opened.wait(90)
        return second

    desk = JobDesk(Steps(tmp_path, following), lambda _: Scripted())
    typed(desk, "3")
    until(lambda: desk.view().answered == 1)
    assert desk.view() is desk.view()
    typed(desk, "on")
    assert opening.wait(90)
    assert desk.view().answered == 1
    opened.set()
    until(lambda: desk.view().answered == 2)
    typed(desk, "4")
    until(lambda: desk.view().answered == 3)
    assert second.view().answered == 1
    assert desk.view() is desk.view()
    desk.stop()


def test_an_answer_that_led_nowhere_is_counted(tmp_path: Path) -> None:
    def following() -> Stage:
        raise OSError(28, "No space left on device")

    desk = JobDesk(Steps(tmp_path, following), lambda _: Scripted())
    typed(desk, "on")
    assert until(lambda: desk.view().answered and desk.view()).notice
    desk.stop()


def test_a_stage_that_has_failed_says_so_to_whoever_looks_and_is_released(tmp_path: Path) -> None:
    stage = Scripted()
    desk = JobDesk(Steps(tmp_path, _end), lambda _: stage)
    typed(desk, "break")
    until(lambda: stage.stops)
    with pytest.raises(RuntimeError):
        desk.view()
    desk.stop()
    assert stage.stops == 1


def test_what_cannot_be_opened_at_all_is_raised(tmp_path: Path) -> None:
    def nothing(_: Job) -> Stage:
        raise LookupError("no-profile-fits")

    with pytest.raises(LookupError):
        JobDesk(Steps(tmp_path, _end), nothing)


def test_stopping_twice_is_harmless(tmp_path: Path) -> None:
    stage = Scripted()
    desk = JobDesk(Steps(tmp_path, _end), lambda _: stage)
    desk.stop()
    desk.stop()
    assert stage.stops == 1
