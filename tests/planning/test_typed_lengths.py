"""Lengths in the planning talk, as people type them."""

import pytest

from mixstation.planning.talk import PlanTalk
from mixstation.units.show import DisplayUnits
from tests.planning.yard import around, asked, say


@pytest.mark.parametrize(
    ("typed", "mm"),
    [("70 cm", 700), ("0,7 m", 700), ("700,5", 700.5), ("2 ft 4 in", 711.2), ('28"', 711.2), (" 700 ", 700)],
)
def test_lengths_as_people_type_them(typed: str, mm: float) -> None:
    talk = PlanTalk(around())
    say(talk, "1", typed)
    assert asked(talk) == "1/width"
    assert talk.draft.given["1/length"] == pytest.approx(mm)


def test_inches_where_inches_are_read() -> None:
    talk = PlanTalk(around(units=DisplayUnits.US))
    view = say(talk, "1", "24", "1 1/2")
    assert talk.draft.given["1/length"] == pytest.approx(609.6)
    assert talk.draft.given["1/width"] == pytest.approx(38.1)
    assert view.question.unit_word == "inches"
    assert view.question.enter == "take 3/4 in"
    assert any("1 1/2 in" in line for line in view.sketch)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("0", "0 mm cannot be: from 0.1 mm to 20000 mm."),
        ("99999", "99999 mm cannot be"),
        ("1,234", "can be 1.234 or 1234"),
        ("6 kg", "is a mass"),
        ("six", "is not a number"),
        ("-5", "cannot be"),
        ("²", "no number"),
        ("\x1b[2J", "no number"),
    ],
)
def test_what_is_no_length_is_said_and_asked_again(typed: str, said: str) -> None:
    talk = PlanTalk(around())
    view = say(talk, "1", typed)
    assert asked(talk) == "1/length"
    assert said in view.notice
    assert view.notice.isprintable()
