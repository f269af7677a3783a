"""A line of a menu has the same number whenever the menu opens: numbers are learned by hand."""

from collections.abc import Iterator

import pytest

from mixstation.station.view import Choice, View
from mixstation.wording import menu_lines as words
from mixstation.wording.cup_lines import CUP_LINE
from tests.station.mixer import mix
from tests.station.yard import Yard

MENUS = (
    ("menu", ""),
    ("trouble", ""),
    ("menu", words.FORWARD_LINE),
    ("trouble", words.RAN_OUT_LINE),
    ("trouble", words.OUT_LINE),
    ("add-else", ""),
)


def pages(yard: Yard, act: str, line: str) -> Iterator[tuple[str, Choice]]:
    """All lines of a menu, page by page, each with the menu it stands in."""
    yard.press(act)
    if line:
        if not any(line in choice.words for choice in yard.question.choices):
            yard.press("back")
            return
        yard.pick(line)
    while True:
        menu = yard.question.ident.split("/", 1)[1].rpartition("/")[0]
        yield from ((menu, choice) for choice in yard.question.choices)
        if words.MORE_LINE not in [choice.words for choice in yard.question.choices]:
            break
        yard.pick(words.MORE_LINE)
    yard.press("back")


@pytest.mark.parametrize("recipe", ["hearth_plate", "planter_wall"])
def test_a_lines_number_is_the_same_at_every_question_of_a_batch(recipe: str) -> None:
    yard = Yard(recipe)
    seen: dict[tuple[str, str], set[int]] = {}
    asked: set[str] = set()

    def look(view: View) -> bool:
        phase = view.question.ident.split("/")[2] if "/main/" in view.question.ident else ""
        if phase and phase not in ("safety", "ended") and view.question.ident not in asked:
            asked.add(view.question.ident)
            for act, line in MENUS:
                for menu, choice in pages(yard, act, line):
                    seen.setdefault((menu, choice.words), set()).add(choice.number)
        return view.ended

    mix(yard, until=look)
    assert len(asked) > 8
    once = {key: numbers for key, numbers in seen.items() if key[0] != "pick-step"}
    assert once
    assert {key: numbers for key, numbers in once.items() if len(numbers) > 1} == {}
    lines = {line for _, line in seen}
    assert {words.SKIP_LINE, words.ENOUGH_LINE, words.NOTE_LINE, CUP_LINE} <= lines


def test_a_number_without_a_line_chooses_nothing() -> None:
    yard = Yard()
    mix(yard, until=lambda view: "/start-mixing/" in view.question.ident)
    yard.press("menu")
    assert 3 not in [choice.number for choice in yard.question.choices]
    before = len(yard.run.entries)
    yard.press(typed="3")
    assert len(yard.run.entries) == before
    assert yard.question.ident.split("/")[1] == "work-menu"
    assert yard.view.notice
