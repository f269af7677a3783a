"""Drawings in line mode: told by their words, drawn when asked for."""

import io
from dataclasses import replace

from mixstation.lines.front import run_lines
from mixstation.lines.said import all_lines, changed_lines
from mixstation.wording import front
from tests.screens import views
from tests.screens.scripted_desk import ScriptedDesk
from tests.screens.test_sketch import DRAWING, PLANNING


def test_only_its_words_are_told() -> None:
    lines = all_lines(PLANNING)
    assert lines == [
        "Plan a job",
        "question 2",
        "How long is it?",
        "bench top, from above",
        "700 mm",
        "from the side",
        "100 mm",
        front.HOW_TO_SEE,
        "Type the length in millimetres, then Enter.",
        "[Enter] take 700 mm",
        "[-] or [b] go back",
    ]


def test_a_table_keeps_what_is_not_there() -> None:
    view = replace(PLANNING, sketch=("Water   1.20 kg      –  floor scale",))
    assert "Water 1.20 kg – floor scale" in all_lines(view)


def test_it_is_drawn_on_request() -> None:
    desk = ScriptedDesk([PLANNING, views.FINISHED])
    output = io.StringIO()
    assert run_lines(desk, io.StringIO("d\n60 cm\n"), output) == 0
    assert "\n".join(DRAWING) in output.getvalue()
    assert [(answer.pressed, answer.typed) for answer in desk.answers] == [("enter", "60 cm")]


def test_without_a_drawing_there_is_none_to_ask_for() -> None:
    output = io.StringIO()
    run_lines(ScriptedDesk([views.POUR_LIVE]), io.StringIO("d\n"), output)
    assert front.LINE_UNKNOWN.format(line="d") in output.getvalue()


def test_parting_words() -> None:
    output = io.StringIO()
    run_lines(ScriptedDesk([replace(PLANNING, parting="The plan is kept.")]), io.StringIO(""), output)
    assert output.getvalue().endswith("The plan is kept.\n")


def test_the_move_to_a_batch_is_told() -> None:
    assert views.POUR_LIVE.question.ask in changed_lines(PLANNING, views.POUR_LIVE)
