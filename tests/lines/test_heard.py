"""What a line means."""

import pytest

from mixstation.lines.front import heard
from mixstation.station.view import Answer, Question
from tests.screens import views

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
