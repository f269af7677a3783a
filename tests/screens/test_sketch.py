"""A drawing on the board, and quantities typed with dry hands."""

from dataclasses import replace

import pytest

from mixstation.screens.gloves import Gloves, Hands
from mixstation.screens.keys import LONGEST_QUANTITY, stroke
from mixstation.screens.layout import board
from mixstation.screens.rows import columns_of, plain
from mixstation.station.view import Act, ClockShown, Question, ScaleShown, View
from mixstation.wording import front
from tests.screens import views

DRAWING = (
    "bench top, from above",
    "|<---- 700 mm ---->|",
    *["#" * 20] * 5,
    "from the side",
    "#" * 20,
    "|--| 100 mm",
)
BACK = Act(name="back", pad="-", letter="b", words="go back")
LENGTH = Question(
    ident="length",
    ask="How long is it?",
    entry="length",
    unit_word="millimetres",
    enter="take 700 mm",
    acts=(BACK,),
    dry_hands=True,
)
PLANNING: View = replace(
    views.SAFETY,
    title="Plan a job",
    place="question 2",
    question=LENGTH,
    to_come=(),
    clock=ClockShown(since_water="", left="", place="none"),
    scale=ScaleShown(state="", text="", fresh=False),
    saved="",
    sketch=DRAWING,
)


def shown(view: View, columns: int = 80, height: int = 24, typed: str = "") -> list[str]:
    rows = board(view, Hands(typed=typed), columns, height)
    assert all(columns_of(line) <= columns for line in rows)
    return [plain(line).rstrip() for line in rows]


@pytest.mark.parametrize(("columns", "height"), [(80, 24), (120, 40), (200, 60)])
def test_the_whole_drawing_stands_beside_what_is_asked(columns: int, height: int) -> None:
    lines = shown(PLANNING, columns, height)
    at = lines.index(DRAWING[0])
    assert tuple(lines[at : at + len(DRAWING)]) == DRAWING
    text = "\n".join(lines)
    for words in (LENGTH.ask, "[ENTER] take 700 mm", "[-] go back", "Plan a job", "question 2"):
        assert words in text
    assert "water" not in text
    assert front.SCALE not in text


@pytest.mark.parametrize(("columns", "height"), [(1, 1), (20, 5), (30, 12), (60, 18)])
def test_it_gives_way_where_there_is_no_room(columns: int, height: int) -> None:
    lines = shown(PLANNING, columns, height)
    assert len(lines) == height
    if height > 4:
        assert any(line.startswith("[ENTER]") for line in lines)


def test_hostile_drawings_are_only_text() -> None:
    view = replace(PLANNING, sketch=("\x1b[2J[@click=app.bell]x[/]", "\u202egnp"))
    assert "�[2J[@click=app.bell]x[/]" in shown(view)


def typing(keys: str, question: Question = LENGTH, gap_s: float = 0.02) -> str:
    gloves = Gloves()
    gloves.show(question.ident, 0.0)
    at_s = 1.0
    for key in keys:
        gloves.press(lambda typed, key=key: stroke(key, question, typed), at_s)  # type: ignore[misc]
        at_s += gap_s
    return gloves.hands.typed


@pytest.mark.parametrize("keys", ["600", "1000", "60 cm", "2 ft 3 1/2 in", "0,6 m", "1 3/8 in"])
def test_dry_hands_type_at_any_speed_and_with_units(keys: str) -> None:
    assert typing(keys) == keys


def test_gloved_hands_do_not() -> None:
    gloved = replace(LENGTH, dry_hands=False)
    assert typing("600", gloved, gap_s=0.05) == "60"
    assert typing("6 m", gloved, gap_s=0.5) == "6"


def test_minus_wipes_and_goes_back() -> None:
    assert typing("60-") == ""
    assert stroke("-", LENGTH, "").value == "back"
    assert stroke("b", LENGTH, "").value == "back"
    assert stroke("b", LENGTH, "6").does == "type"


def test_no_more_than_fits() -> None:
    assert len(typing("1" * (LONGEST_QUANTITY + 5))) == LONGEST_QUANTITY


def test_typed_units_are_shown_where_no_large_digits_can() -> None:
    assert any("typed 60 cm_" in line for line in shown(PLANNING, typed="60 cm"))
