"""Line mode against a scripted desk: a script answers in turn, whatever comes in between."""

import io
import os
import threading
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from mixstation.lines.front import heard, run_lines
from mixstation.station.view import Answer, Question, View
from mixstation.wording import front
from tests.screens import views
from tests.screens.scripted_desk import ScriptedDesk

ALL_THE_WAY = (views.SAFETY, views.POUR_LIVE, views.MIX, views.CONSISTENCY, views.REASON, views.FINISHED)


def _run(desk: ScriptedDesk, script: str) -> str:
    output = io.StringIO()
    assert run_lines(desk, io.StringIO(script), output) == 0
    return output.getvalue()


def test_a_script_goes_through_a_batch() -> None:
    desk = ScriptedDesk(ALL_THE_WAY)
    said = _run(desk, "\n3,2\n\n2\nno time\n")
    assert [(answer.question, answer.pressed, answer.typed) for answer in desk.answers] == [
        ("safety", "enter", ""),
        ("pour-cement", "enter", "3,2"),
        ("mix-slurry", "enter", ""),
        ("consistency", "enter", "2"),
        ("reason", "enter", "no time"),
    ]
    assert said.endswith(f"{views.FINISHED.question.detail[1]}\n{front.LEFT_ENDED}\n")


def test_what_is_said_last_is_what_is_so() -> None:
    over = replace(views.FINISHED, parting="The batch is over. Its record is not written.")
    assert _run(ScriptedDesk([over]), "").endswith(f"{over.parting}\n")
    held = replace(over, saved="NOT SAVED: 2 entries", saved_grave=True)
    assert _run(ScriptedDesk([held]), "").endswith(front.LEFT_UNSAVED.format(saved=held.saved) + "\n")


def test_nothing_moves_the_cursor_or_colours() -> None:
    said = _run(ScriptedDesk([views.HOSTILE, views.FINISHED]), "?\nw\nnonsense\x1b[2J\n3\n")
    assert all(character.isprintable() or character == "\n" for character in said)


def test_the_end_of_input_leaves_the_batch_as_it_is() -> None:
    desk = ScriptedDesk(ALL_THE_WAY)
    said = _run(desk, "\n")
    assert len(desk.answers) == 1
    assert desk.stops == 0
    assert said.endswith(front.LEFT_RESUMABLE.format(place=views.POUR_LIVE.place) + "\n")


def test_leaving_by_word() -> None:
    desk = ScriptedDesk([views.POUR_LIVE])
    assert front.LEFT_RESUMABLE.format(place=views.POUR_LIVE.place) in _run(desk, "quit\n3\n")
    assert desk.answers == []


def test_what_is_no_answer_is_said_and_not_sent() -> None:
    desk = ScriptedDesk([views.POUR_LIVE])
    said = _run(desk, "cement\n")
    assert front.LINE_UNKNOWN.format(line="cement") in said
    assert desk.answers == []


def test_an_empty_line_with_nothing_to_confirm_is_not_sent() -> None:
    desk = ScriptedDesk([views.CONSISTENCY])
    assert front.SAID["enter-idle"] in _run(desk, "\n")
    assert desk.answers == []


def test_unsaved_entries_are_said_on_leaving() -> None:
    assert front.LEFT_UNSAVED.format(saved=views.STORAGE_AWAY.saved) in _run(
        ScriptedDesk([views.STORAGE_AWAY]), ""
    )


class WritesAtTheEnd(ScriptedDesk):
    """A desk that can save what it held once it is stopped."""

    def stop(self) -> None:
        super().stop()
        self.put(replace(views.STORAGE_AWAY, saved="saved", saved_grave=False))


def test_what_is_held_is_tried_once_more_before_it_is_called_lost() -> None:
    desk = WritesAtTheEnd([views.STORAGE_AWAY])
    said = _run(desk, "")
    assert desk.stops == 1
    assert front.LEFT_UNSAVED.partition("{")[0] not in said
    assert said.endswith(front.LEFT_RESUMABLE.format(place=views.STORAGE_AWAY.place) + "\n")


def test_leaving_what_is_not_saved_is_asked_about_and_what_it_is_is_said() -> None:
    held = replace(views.STORAGE_AWAY, unsaved=("832 g Water in (typed)", "done: scrape"))
    desk = ScriptedDesk([held])
    said = _run(desk, "quit\nw\nquit\nquit\n3\n")
    assert said.count(front.LEAVE_UNSAVED_LINE) == 2
    assert desk.answers == []
    lost = [front.NOT_SAVED_LINE.format(entry=entry) for entry in held.unsaved]
    assert said.splitlines()[-3:] == [front.LEFT_UNSAVED.format(saved=held.saved), *lost]


@pytest.mark.parametrize("source", ["closed", "none", "unreadable"])
def test_without_any_input_it_leaves_at_once(source: str) -> None:
    given = io.StringIO("3\n")
    given.close()
    none: Any = None
    unreadable = io.TextIOWrapper(open(os.devnull, "wb"), encoding="utf-8")  # noqa: SIM115, PTH123
    output = io.StringIO()
    sources = {"closed": given, "none": none, "unreadable": unreadable}
    assert run_lines(ScriptedDesk([views.POUR_LIVE]), sources[source], output) == 0
    assert output.getvalue().endswith(front.LEFT_RESUMABLE.format(place=views.POUR_LIVE.place) + "\n")
    unreadable.close()


def test_a_bell_is_rung_and_never_written_as_text() -> None:
    rung: list[bool] = []
    desk = ScriptedDesk([views.POUR_LIVE, replace(views.MIX, bells=views.POUR_LIVE.bells + 1)])
    output = io.StringIO()
    run_lines(desk, io.StringIO("3\n"), output, lambda: rung.append(True))
    assert rung == [True]
    assert "\a" not in output.getvalue()


class SlowDesk(ScriptedDesk):
    """Handles an answer only after other things have changed, and notes answers that did not wait for it."""

    def __init__(self, shown: Sequence[View]) -> None:
        super().__init__(shown)
        self.handed_in_count = 0
        self.overtaken_count = 0

    def answer(self, answer: Answer) -> None:
        self.overtaken_count += self.handed_in_count > len(self.answers)
        self.handed_in_count += 1
        self.show(
            replace(self.view(), serial=self.view().serial + 1000, notice=f"Looking {self.handed_in_count}.")
        )
        threading.Timer(0.05, super().answer, (answer,)).start()


def test_a_script_waits_for_what_came_of_its_answer() -> None:
    desk = SlowDesk(ALL_THE_WAY)
    _run(desk, "\n3,2\n\n2\nno time\n")
    assert [answer.question for answer in desk.answers] == [
        "safety",
        "pour-cement",
        "mix-slurry",
        "consistency",
        "reason",
    ]
    assert desk.overtaken_count == 0


def test_a_script_waits_for_an_answer_that_changes_nothing() -> None:
    desk = SlowDesk([views.POUR_LIVE, views.POUR_LIVE, views.POUR_LIVE, views.FINISHED])
    _run(desk, "1\n2\n3\n")
    assert [answer.typed for answer in desk.answers] == ["1", "2", "3"]
    assert desk.overtaken_count == 0


def test_changes_are_said_while_it_waits_for_a_line() -> None:
    desk = ScriptedDesk([views.POUR_LIVE, views.FINISHED])
    reading, writing = os.pipe()
    said = io.StringIO()
    heard = threading.Event()

    class Telling(io.StringIO):
        def write(self, text: str) -> int:
            said.write(text)
            if views.POUR_SLOW.pour is not None and views.POUR_SLOW.pour.cue_words in text:
                heard.set()
            return len(text)

    with os.fdopen(reading, encoding="utf-8") as source, os.fdopen(writing, "w", encoding="utf-8") as sink:
        runner = threading.Thread(target=run_lines, args=(desk, source, Telling()))
        runner.start()
        desk.show(views.POUR_SLOW)
        assert heard.wait(90)
        sink.write("4,9\n")
        sink.flush()
        runner.join(90)
        assert not runner.is_alive()
    assert desk.answers == [Answer(question="pour-cement", pressed="enter", typed="4,9")]


def test_bytes_that_are_no_text_are_no_answer() -> None:
    desk = ScriptedDesk([views.POUR_LIVE])
    output = io.StringIO()
    source = io.TextIOWrapper(io.BytesIO(b"\xff\xfe\n"), encoding="utf-8")
    assert run_lines(desk, source, output) == 0
    assert front.LINE_UNKNOWN.format(line="��") in output.getvalue()


def test_a_desk_that_fails_is_said_and_is_no_clean_exit() -> None:
    class Failing(ScriptedDesk):
        def answer(self, answer: Answer) -> None:
            self.answers.append(answer)

        def view(self) -> View:
            if self.answers:
                raise RuntimeError from OSError("the disk is gone")
            return super().view()

    output = io.StringIO()
    assert run_lines(Failing([views.POUR_LIVE]), io.StringIO("3\n"), output) == 1
    assert output.getvalue().endswith(front.FAILED.format(reason="the disk is gone") + "\n")


POUR = views.POUR_LIVE.question


def _answer(line: str, question: Question = POUR) -> tuple[str, str] | str | None:
    meant = heard(line, question)
    if isinstance(meant, Answer):
        assert meant.question == question.ident
        return meant.pressed, meant.typed
    return meant


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("", ("enter", "")),
        ("   ", ("enter", "")),
        ("3,2", ("enter", "3,2")),
        (" 3.2 ", ("enter", "3.2")),
        ("3.2 kg", ("enter", "3.2 kg")),
        ("2 lb 3 oz", ("enter", "2 lb 3 oz")),
        ("-3", ("enter", "-3")),
        ("+", ("extra", "")),
        ("e", ("extra", "")),
        ("E", ("extra", "")),
        ("extra", ("extra", "")),
        ("extra went in", ("extra", "")),
        ("take-back", ("take-back", "")),
        ("0.3 +", ("extra", "0.3")),
        ("0.3 e", ("extra", "0.3")),
        ("?", "again"),
        ("w", "weight"),
        ("Weight", "weight"),
        ("quit", "leave"),
        ("water", None),
        ("water e", None),
        ("²", None),
        ("٣", None),
    ],
)
def test_lines_at_a_pour(line: str, meant: object) -> None:
    assert _answer(line) == meant


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("no time", ("enter", "no time")),
        ("b", ("enter", "b")),
        ("w", ("enter", "w")),
        ("quit", ("enter", "quit")),
        ("-", ("take-back", "")),
        ("", ("enter", "")),
        ("?", "again"),
    ],
)
def test_lines_where_words_are_asked_for(line: str, meant: object) -> None:
    assert _answer(line, views.REASON.question) == meant


def test_an_act_with_the_letter_w_comes_before_the_weight() -> None:
    act = views.Act(name="wash", pad="+", letter="w", words="wash up")
    question = Question(ident="q", ask="Ask.", acts=(act,))
    assert _answer("w", question) == ("wash", "")
    assert _answer("weight", question) == "weight"
