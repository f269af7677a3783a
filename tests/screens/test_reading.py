"""A text that must be read to its end: all of it has been on screen before Enter answers, whatever the window."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.screens import gloves as gloves_module
from mixstation.screens.gloves import Gloves, Hands
from mixstation.screens.keys import stroke
from mixstation.screens.layout import board
from mixstation.screens.reading import BACK, Page, page_at
from mixstation.screens.rows import plain
from mixstation.station.view import Answer, Question
from mixstation.wording import front
from mixstation.wording.safety import BEFORE_THE_FIRST_BAG, LIMITS_OF_USE
from tests.screens import views
from tests.screens.test_app import Bench, bench
from tests.screens.test_gloves import HELD_RATES_S, HELD_STARTS_S

SAFETY = views.SAFETY.question
WORDS = " ".join((*BEFORE_THE_FIRST_BAG, *LIMITS_OF_USE))
SIZES = [(80, 24), (60, 18), (50, 15), (40, 10), (20, 5)]


def squeezed(text: str) -> str:
    return "".join(text.split())


def marks(text: str) -> str:
    """A text without what only lays it out."""
    return squeezed(text.replace("·", " "))


def painted(columns: int, height: int, read_count: int) -> str:
    rows = board(views.SAFETY, Hands(read_count=read_count), columns, height)
    return "\n".join(plain(line) for line in rows)


def turned(page: Page, pressed: str = "enter") -> int | None:
    return page.turned(Answer(question=page.question.ident, pressed=pressed))


@pytest.mark.parametrize(("columns", "height"), [*SIZES, (120, 40), (13, 4), (7, 2), (5, 1)])
def test_every_word_is_on_the_board_before_the_last_page_is_left(columns: int, height: int) -> None:
    seen, read_count, count = "", 0, 0
    while True:
        page = page_at(SAFETY, columns, height, read_count)
        board_text = marks(painted(columns, height, read_count))
        part = "".join(plain(line) for line in page.rows)
        assert marks(part) in board_text
        seen, count = seen + marks(part), count + 1
        if (on := turned(page)) is None:
            break
        assert page.question.ident != SAFETY.ident
        read_count = on
    assert page.question.ident == SAFETY.ident
    for sentence in (*BEFORE_THE_FIRST_BAG, *LIMITS_OF_USE):
        assert marks(sentence) in seen.replace(marks(SAFETY.ask), "")
    if (columns, height) == (80, 24):
        assert count == 1


@pytest.mark.parametrize(("columns", "height"), SIZES[1:])
def test_the_page_and_what_enter_does_are_said(columns: int, height: int) -> None:
    first = page_at(SAFETY, columns, height, 0)
    text = painted(columns, height, 0)
    assert first.mark.startswith("page 1 of")
    assert first.mark.endswith("Enter turns it")
    assert first.mark in " ".join(text.split())
    assert f"[ENTER] {front.READ_ON}" in text
    assert SAFETY.enter not in text
    assert first.on_count is not None
    second = painted(columns, height, first.on_count)
    assert "page 2 of" in second
    assert f"[-] {front.PAGE_BACK}" in second


def test_a_page_back_shows_the_page_before() -> None:
    first = page_at(SAFETY, 40, 10, 0)
    assert first.back_count is None
    assert first.on_count is not None
    second = page_at(SAFETY, 40, 10, first.on_count)
    back = turned(second, BACK.name)
    assert back is not None
    assert page_at(SAFETY, 40, 10, back).rows == first.rows


WINDOWS = st.tuples(st.integers(1, 90), st.integers(1, 26))


@given(st.lists(st.tuples(WINDOWS, st.sampled_from(["enter", "enter", "enter", BACK.name])), max_size=60))
def test_nothing_stays_unread_however_the_window_changes(turns: list[tuple[tuple[int, int], str]]) -> None:
    asked, whole = squeezed(SAFETY.ask), squeezed(SAFETY.ask + "".join(f"· {text}" for text in SAFETY.detail))
    seen_count, read_count = len(asked), 0
    for (columns, height), pressed in turns:
        page = page_at(SAFETY, columns, height, read_count)
        part = squeezed("".join(plain(line) for line in page.rows)).removeprefix(asked)
        end_count = len(whole) if page.on_count is None else page.on_count
        assert whole[:end_count].endswith(part)
        assert end_count - len(part) <= seen_count
        seen_count = max(seen_count, end_count)
        if page.on_count is None:
            assert seen_count == len(whole)
        to_count = turned(page, pressed)
        read_count = read_count if to_count is None else to_count


@pytest.mark.parametrize("start_s", HELD_STARTS_S)
@pytest.mark.parametrize("rate_s", HELD_RATES_S)
def test_a_held_enter_turns_one_page(start_s: float, rate_s: float) -> None:
    held = Reader(40, 10)
    at_s = 100.0
    held.press(at_s)
    at_s += start_s
    for _ in range(60):
        held.press(at_s)
        at_s += rate_s
    held.run_to(at_s + 10)
    assert held.pages == [1, 2]
    assert held.answers == []


@pytest.mark.parametrize("gap_s", [0.02, 0.06, 0.2, 0.3])
def test_a_doubled_enter_turns_one_page_and_is_said(gap_s: float) -> None:
    doubled = Reader(40, 10)
    doubled.press(100.0)
    doubled.press(100.0 + gap_s)
    said = doubled.gloves.hands.said
    doubled.run_to(110.0)
    assert doubled.pages == [1, 2]
    assert said == "repeat"


class Reader:
    """Presses Enter at stated times at a text in a window of one size, as the screen does with it."""

    def __init__(self, columns: int, height: int) -> None:
        self.gloves = Gloves()
        self.size = (columns, height)
        self.read_count = 0
        self.pages: list[int] = []
        self.answers: list[Answer] = []
        self._show(0.0)

    def _show(self, at_s: float) -> None:
        self.page = page_at(SAFETY, *self.size, self.read_count)
        self.pages.append(int(self.page.mark.split()[1]))
        self.gloves.show(self.page.question.ident, at_s)

    def press(self, at_s: float) -> None:
        self.run_to(at_s)
        asked: Question = self.page.question
        assert self.gloves.press(lambda typed: stroke("enter", asked, typed), at_s) is None

    def run_to(self, at_s: float) -> None:
        due_s = self.gloves.due_s
        if due_s is None or due_s > at_s or (answer := self.gloves.due(due_s)) is None:
            return
        if (to_count := self.page.turned(answer)) is None:
            self.answers.append(answer)
        else:
            self.read_count = to_count
            self._show(due_s)


@pytest.fixture
def quick_hands(monkeypatch: pytest.MonkeyPatch) -> None:
    """Hands that need no pause: pages are looked at here, not how fast keys come."""
    for name in ("SETTLE_S", "REPEAT_S", "MASH_S", "BURST_S"):
        monkeypatch.setattr(gloves_module, name, 0.0)


@pytest.mark.usefixtures("quick_hands")
@pytest.mark.parametrize(("columns", "height"), SIZES)
async def test_at_the_screen_every_word_has_been_shown_before_the_answer_is_sent(
    columns: int, height: int
) -> None:
    async with bench(views.SAFETY, views.POUR_LIVE, size=(columns, height)) as at:
        seen = ""
        while not at.desk.answers:
            before = at.text
            assert "[ENTER]" in before
            seen += before
            await at.pilot.press("enter")
            await at.until(lambda before=before: at.desk.answers or at.text != before)  # type: ignore[misc]
        assert [(answer.question, answer.pressed) for answer in at.desk.answers] == [("safety", "enter")]
        for word in WORDS.split():
            assert word in seen


@pytest.mark.usefixtures("quick_hands")
async def test_at_the_screen_a_window_made_larger_goes_on_where_it_was_read() -> None:
    async with bench(views.SAFETY, size=(60, 18)) as at:
        await _turn(at, "enter", "page 2 of 2")
        await _turn(at, "minus", "page 1 of 2")
        await at.pilot.resize_terminal(80, 24)
        await at.until(lambda: f"[ENTER] {SAFETY.enter}" in at.text)
        await at.pilot.resize_terminal(50, 15)
        await at.until(lambda: "page 1 of 3" in at.text)
        assert at.desk.answers == []


async def _turn(at: Bench, key: str, mark: str) -> None:
    await at.pilot.press(key)
    await at.until(lambda: mark in at.text)


async def test_enter_on_its_way_when_the_page_changes_is_not_taken_and_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(gloves_module, "MASH_S", 0.5)
    async with bench(views.SAFETY, size=(60, 18)) as at:
        await at.pilot.press("enter")
        await at.pilot.resize_terminal(50, 15)
        await at.until(lambda: front.SAID["early"] in at.text)
        assert BEFORE_THE_FIRST_BAG[0].split()[0] in at.text
        assert at.desk.answers == []
