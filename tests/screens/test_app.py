"""The screen against a scripted desk, without a terminal."""

import threading
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import replace

import pytest
from textual._compositor import ChopsUpdate
from textual.pilot import Pilot

from mixstation.screens import gloves
from mixstation.screens.app import MixApp, MixingScreen
from mixstation.screens.canvas import Canvas, CellCompositor, changed_spans
from mixstation.screens.rows import row
from mixstation.station.view import Desk, View
from mixstation.wording import front
from tests.screens import views
from tests.screens.scripted_desk import ScriptedDesk

GAP_S = 0.06


@pytest.fixture(autouse=True)
def settled(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody reads here: Enter counts as soon as a question is on screen."""
    monkeypatch.setattr(gloves, "SETTLE_S", 0.0)


class Bench:
    def __init__(self, app: MixApp, desk: ScriptedDesk, pilot: Pilot[int]) -> None:
        self.app = app
        self.desk = desk
        self.pilot = pilot

    @property
    def text(self) -> str:
        canvas = self.app.query_one(Canvas)
        return "\n".join(canvas.render_line(y).text.rstrip() for y in range(canvas.size.height))

    async def until(self, true: Callable[[], object]) -> None:
        for _ in range(1000):
            if true():
                return
            await self.pilot.pause(0.01)
        raise AssertionError(self.text)

    async def type(self, *keys: str) -> None:
        for key in keys:
            await self.pilot.press(key)
            await self.pilot.pause(GAP_S)


@asynccontextmanager
async def bench(*shown: View, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Bench]:
    desk = ScriptedDesk(shown)
    app = MixApp(lambda: desk)
    async with app.run_test(size=size) as pilot:
        one = Bench(app, desk, pilot)
        await one.until(lambda: app.view is not None)
        # Until it is painted.
        await pilot.pause()
        yield one


async def test_a_typed_weight_is_handed_in_and_the_next_view_comes() -> None:
    async with bench(views.POUR_LIVE, views.MIX) as at:
        await at.type("3", "comma", "2")
        assert "typed 3,2_ kilograms" in at.text
        await at.type("enter")
        await at.until(lambda: views.MIX.question.ask in at.text)
        (answer,) = at.desk.answers
        assert (answer.question, answer.pressed, answer.typed) == ("pour-cement", "enter", "3,2")


@pytest.mark.parametrize(
    ("key", "name"), [("plus", "extra"), ("asterisk", "trouble"), ("b", "take-back"), ("P", "pause")]
)
async def test_acts_by_pad_and_letter(key: str, name: str) -> None:
    async with bench(views.POUR_LIVE) as at:
        await at.type(key)
        await at.until(lambda: at.desk.answers)
        assert at.desk.answers[0].pressed == name


async def test_enter_twice_at_once_answers_once() -> None:
    async with bench(views.POUR_LIVE, views.MIX, views.REST) as at:
        await at.type("enter", "enter", "enter")
        await at.until(lambda: views.MIX.question.ask in at.text)
        await at.pilot.pause(0.2)
        assert len(at.desk.answers) == 1


async def test_library_furniture_is_gone() -> None:
    async with bench(views.POUR_LIVE) as at:
        for key in ("ctrl+p", "tab", "shift+tab", "f1", "question_mark"):
            await at.type(key)
        assert len(at.app.screen_stack) == 1
        assert len(list(at.app.screen.walk_children())) == 1
        assert at.desk.answers == []


async def test_only_changed_rows_are_painted() -> None:
    async with bench(views.POUR_LIVE) as at:
        canvas = at.app.query_one(Canvas)
        painted: list[int] = []
        original = canvas.render_line

        def counting(y: int):  # type: ignore[no-untyped-def]
            painted.append(y)
            return original(y)

        canvas.render_line = counting  # type: ignore[method-assign]
        at.desk.show(replace(views.POUR_LIVE, serial=99, notice="Another notice."))
        await at.until(lambda: "Another notice." in at.text)
        await at.pilot.pause()
        rows = at.text.splitlines()
        assert {rows[y] for y in set(painted)} >= {"Another notice."}
        changed = [y for y, line in enumerate(rows) if line == "Another notice."]
        # Asking for the text paints every row once; only the changed row is painted more often.
        extra = [y for y in range(24) if painted.count(y) > min(painted.count(n) for n in range(24))]
        assert extra == changed


async def test_only_changed_cells_are_written(monkeypatch: pytest.MonkeyPatch) -> None:
    written: list[tuple[int, int, int]] = []
    original = CellCompositor.render_partial_update

    def counting(compositor: CellCompositor) -> ChopsUpdate | None:
        update = original(compositor)
        written.extend(update.spans if update is not None else ())
        return update

    async with bench(views.POUR_LIVE, size=(120, 40)) as at:
        before = at.text.splitlines()
        monkeypatch.setattr(CellCompositor, "render_partial_update", counting)
        scale = replace(views.LIVE, text=views.LIVE.text.replace("4", "5"))
        at.desk.show(replace(views.POUR_LIVE, serial=99, scale=scale))
        await at.until(lambda: at.app.view is not None and at.app.view.serial == 99)
        await at.until(lambda: written)
        changed = [
            (y, x)
            for y, (old, new) in enumerate(zip(before, at.text.splitlines(), strict=True))
            for x, (one, other) in enumerate(zip(old.ljust(120), new.ljust(120), strict=True))
            if one != other
        ]
        assert changed
        assert sorted({(y, x) for y, start, end in written for x in range(start, end)}) == changed


@pytest.mark.parametrize(
    ("before", "now", "spans"),
    [
        ("weighs 12.4 kg", "weighs 12.5 kg", [(10, 11)]),
        ("weighs 12.4 kg", "weighs 13.5 kg", [(8, 11)]),
        ("1 then far away 1", "2 then far away 2", [(0, 1), (16, 17)]),
        ("short", "short and longer", [(6, 16)]),
        ("short and longer", "short", [(6, 16)]),
        ("weight 世 kg", "weight 12 kg", [(7, 9)]),
        ("weight e\u0301 kg", "weight e 2g", [(0, 20)]),
    ],
)
def test_the_span_of_what_differs(before: str, now: str, spans: list[tuple[int, int]]) -> None:
    assert list(changed_spans(row(before), row(now), 20)) == spans


def test_another_look_is_another_cell() -> None:
    assert list(changed_spans(row("a", ("b", "strong")), row("a", ("b", "stop")), 20)) == [(1, 2)]
    assert list(changed_spans(row("a", ("b", "strong")), row("a", ("b", "strong")), 20)) == []


async def test_bell_rings_when_the_count_grows() -> None:
    async with bench(views.POUR_LIVE) as at:
        rings: list[int] = []
        at.app.bell = lambda: rings.append(1)  # type: ignore[method-assign]
        at.desk.show(replace(views.POUR_LIVE, serial=90, bells=2))
        await at.until(lambda: rings)
        at.desk.show(replace(views.POUR_LIVE, serial=91, bells=2, notice="again"))
        await at.until(lambda: "again" in at.text)
        assert rings == [1]


async def test_a_new_view_is_seen_without_being_told() -> None:
    async with bench(views.POUR_LIVE) as at:
        at.desk.put(replace(views.POUR_LIVE, serial=92, notice="Live only."))
        await at.until(lambda: "Live only." in at.text)


@pytest.mark.parametrize("size", [(1, 1), (2, 2), (10, 3), (50, 15), (200, 60)])
async def test_any_size_and_back(size: tuple[int, int]) -> None:
    async with bench(views.POUR_LIVE) as at:
        await at.pilot.resize_terminal(*size)
        await at.pilot.pause()
        await at.pilot.resize_terminal(80, 24)
        await at.until(lambda: "5.20 kg" in at.text)


async def test_leaving_is_one_key() -> None:
    async with bench(views.POUR_LIVE) as at:
        await at.pilot.press("ctrl+c")
        await at.until(lambda: at.app.return_value is not None)
        assert at.app.return_value == 0


async def test_leaving_with_unsaved_entries_asks_once_more() -> None:
    async with bench(views.STORAGE_AWAY) as at:
        await at.type("ctrl+q")
        assert front.SAID["leave-unsaved"].split(":")[0] in at.text
        assert at.app.return_value is None
        await at.type("ctrl+q")
        await at.until(lambda: at.app.return_value == 0)


async def test_enter_closes_a_finished_batch() -> None:
    async with bench(views.FINISHED) as at:
        await at.type("enter")
        await at.until(lambda: at.app.return_value == 0)
        assert [answer.pressed for answer in at.desk.answers] == ["enter"]


LEAVING = replace(
    views.FINISHED,
    serial=41,
    question=replace(
        views.FINISHED.question, ident="over", ask="The batch is closed and saved.", enter="leave"
    ),
    ended=False,
)
LEFT = replace(LEAVING, serial=42, ended=True)


async def test_one_enter_leaves_an_ended_batch_and_a_doubled_one_does_not(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(gloves, "SETTLE_S", 0.300)
    async with bench(views.MIX, LEAVING, LEFT) as at:
        await at.pilot.pause(gloves.SETTLE_S)
        await at.type("enter", "enter")
        await at.until(lambda: LEAVING.question.ask in at.text)
        # Held on, as a wet glove does.
        for _ in range(8):
            await at.type("enter")
        assert len(at.desk.answers) == 1
        assert at.app.return_value is None
        await at.pilot.pause(gloves.REPEAT_S + gloves.SETTLE_S)
        await at.type("enter")
        await at.until(lambda: at.app.return_value == 0)
        assert len(at.desk.answers) == 2


async def test_leaving_an_ended_batch_that_is_not_all_saved_asks_once_more() -> None:
    unsaved = replace(LEFT, saved=views.STORAGE_AWAY.saved, saved_grave=True)
    async with bench(LEAVING, unsaved) as at:
        await at.type("enter")
        await at.until(lambda: front.SAID["leave-unsaved"].split(":")[0] in at.text)
        assert at.app.return_value is None
        await at.pilot.pause(gloves.REPEAT_S)
        await at.type("enter")
        await at.until(lambda: at.app.return_value == 0)


async def test_text_is_typed_with_everything_in_it() -> None:
    async with bench(views.REASON) as at:
        await at.type("t", "o", "o", "space", "4", "minus", "b", "backspace", "enter")
        await at.until(lambda: at.desk.answers)
        assert at.desk.answers[0].typed == "too 4-"


async def test_a_changed_question_wipes_what_was_typed_for_the_last() -> None:
    async with bench(views.POUR_LIVE) as at:
        await at.type("9")
        at.desk.show(views.MIX)
        await at.until(lambda: front.SAID["moved"] in " ".join(at.text.split()))


async def test_a_desk_that_cannot_be_opened_ends_the_screen() -> None:
    def refuse() -> Desk:
        raise OSError("recipe.toml:3: unknown key")

    app = MixApp(refuse)
    async with app.run_test() as pilot:
        for _ in range(500):
            if app.return_value is not None:
                break
            await pilot.pause(0.01)
    assert app.return_code == 1
    assert str(app.failure) == "recipe.toml:3: unknown key"


async def test_a_key_pressed_before_there_is_a_question_is_not_taken_and_said() -> None:
    desk, opened = ScriptedDesk([views.POUR_LIVE, views.MIX]), threading.Event()

    def open_desk() -> Desk:
        opened.wait(90)
        return desk

    app = MixApp(open_desk)
    async with app.run_test(size=(80, 24)) as pilot:
        at = Bench(app, desk, pilot)
        await at.until(lambda: front.OPENING in at.text)
        await at.type("enter")
        opened.set()
        await at.until(lambda: views.POUR_LIVE.question.ask in at.text)
        assert front.SAID["early"] in at.text
        assert desk.answers == []


async def test_an_enter_too_soon_is_still_said_when_the_question_changes_under_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(gloves, "SETTLE_S", 30.0)
    async with bench(views.POUR_LIVE) as at:
        await at.type("enter")
        assert front.SAID["early"] in at.text
        at.desk.show(views.MIX)
        await at.until(lambda: views.MIX.question.ask in at.text)
        assert front.SAID["early"] in at.text
        assert at.desk.answers == []


async def test_an_answer_goes_out_though_its_timer_was_passed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    # What the library does with a timer that comes late on a busy machine.
    monkeypatch.setattr(MixingScreen, "set_timer", lambda *_, **__: None)
    async with bench(views.POUR_LIVE, views.MIX) as at:
        await at.type("enter")
        await at.until(lambda: views.MIX.question.ask in at.text)


async def test_digits_where_nothing_is_typed_disarm_the_next_enter() -> None:
    async with bench(views.SCRAPE_STEP) as at:
        await at.type("0", ".", "4")
        assert front.ENTER_WIPES.format(typed="0.4") in at.text
        await at.type("enter")
        assert front.SAID["wiped"].split(":")[0] in at.text
        assert at.desk.answers == []
        await at.pilot.pause(gloves.REPEAT_S)
        await at.type("enter")
        await at.until(lambda: at.desk.answers)
        assert [(answer.pressed, answer.typed) for answer in at.desk.answers] == [("enter", "")]
