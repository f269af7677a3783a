"""Long names, long lists and small windows: nothing overlaps, and what the work needs stays whole."""

from dataclasses import replace

import pytest

from mixstation.screens.gloves import Hands
from mixstation.screens.layout import board
from mixstation.screens.rows import columns_of, first_fitting, plain, row, worded
from mixstation.station.view import Choice, ClockShown, Line, ScaleShown, View
from tests.screens import views
from tests.screens.test_app import bench
from tests.screens.view_parts import GOOD, SCRAPE

SIZES = [(80, 24), (60, 20), (40, 12), (120, 40), (200, 60)]
NAMES = [
    "Extra fine washed and dried quartz sand, half a millimetre",
    "白色硅酸盐水泥与偏高岭土预混合干粉料甲级",
    "Se\u0301para\u0301e a\u0308\u0327\u0301 sa\u0301ble tre\u0300s fin e\u0301tuve\u0301 et lave\u0301",
    "Unbrokenwordofmorethanthirtyletterswithoutblank",
]


def _text(view: View, columns: int, height: int, typed: str = "") -> str:
    return "\n".join(plain(line).rstrip() for line in board(view, Hands(typed=typed), columns, height))


def _long(name: str) -> View:
    coming = tuple(Line(name=f"{name}, {n} % share", amount="5.20 kg", mark="next") for n in range(1, 40))
    went_in = tuple(Line(name=name, amount="12.20 kg", mark="taken back", note="typed") for _ in range(30))
    return replace(
        views.POUR_SLOW,
        title=f"{name} · {name} · bucket 2 of 2",
        question=replace(views.POUR_SLOW.question, ask=f"Pour 5.20 kg of {name} into the bucket."),
        went_in=went_in,
        to_come=coming,
        notice=f"5.20 kg {name} is in.",
        flags=tuple(
            replace(SCRAPE, sentence=f"{name} will be 1.06 % of cement, over 0.9 %.") for _ in range(7)
        ),
    )


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("columns", "height"), SIZES)
def test_a_long_name_leaves_room_for_what_is_to_be_done(name: str, columns: int, height: int) -> None:
    view = _long(name)
    rows = board(view, Hands(), columns, height)
    assert len(rows) == height
    assert all(columns_of(line) <= columns for line in rows)
    text = _text(view, columns, height)
    assert view.pour is not None
    assert "".join(view.question.ask.split()) in "".join(
        text.split("│")[0] for text in text.splitlines()
    ).replace(" ", "")
    for words in (view.pour.target, f"right     {view.pour.right}", view.pour.actual, "[ENTER]", "Slow now"):
        assert words in text
    if (columns, height) != (40, 12):
        for words in ("bucket 2 of 2", "step 5 of 14", "first water 6:10", "scale moving", "saved"):
            assert words in text


@pytest.mark.parametrize(("columns", "height"), SIZES)
def test_each_of_nine_long_answers_can_be_seen_and_the_typed_one_read_whole(
    columns: int, height: int
) -> None:
    words = "Raise the totals of sand, white cement and metakaolin until the water fits, way"
    choices = tuple(Choice(number=n, words=f"{words} {n}", detail=("costs a little",)) for n in range(1, 10))
    view = replace(views.WAYS_OUT, question=replace(views.WAYS_OUT.question, choices=choices))
    text = _text(view, columns, height)
    assert all(f" [{n}] Raise the" in text for n in range(1, 10))
    if height > 12:
        chosen = _text(view, columns, height, typed="7")
        assert f"{words} 7".replace(" ", "") in chosen.replace("│", " ").replace("\n", "").replace(" ", "")


CLOCKS = {
    "before": ClockShown(since_water="", left="24 to 36 min from the first water", place="before"),
    "good": GOOD,
    "near": ClockShown(since_water="26:10", left="0 to 4 min left", place="near"),
    "past": ClockShown(since_water="38:20", left="working time is past", place="past"),
}
SCALES = [
    ScaleShown(state="no scale: type the weights", text="", fresh=False),
    ScaleShown(state="moving", text="12.345 kg", fresh=True),
    ScaleShown(state="waiting for the scale", text="", fresh=False),
]


@pytest.mark.parametrize("place", CLOCKS)
@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("columns", range(48, 110))
def test_the_header_is_shortened_by_whole_parts(place: str, scale: ScaleShown, columns: int) -> None:
    view = replace(views.POUR_LIVE, clock=CLOCKS[place], scale=scale)
    title, status = _text(view, columns, 20).splitlines()[:2]
    assert "…" not in title + status
    assert "step 5 of 14" in title
    assert status.endswith("saved")
    assert {
        "before": "no water yet",
        "good": "first water 6:10",
        "near": "! nearly up",
        "past": "!! past its time",
    }[place] in status
    assert scale.state.partition(":")[0] in status
    known = {"", *view.title.split(" · ")}
    assert set(title.removesuffix("step 5 of 14").strip().split(" · ")) <= known


def test_words_are_cut_between_words() -> None:
    line = row("White casting blend, ", ("50 % share", "strong"))
    assert plain(worded(line, 31)) == "White casting blend, 50 % share"
    assert plain(worded(line, 30)) == "White casting blend, 50 %…"
    assert plain(worded(line, 24)) == "White casting blend, 50…"
    assert plain(worded(line, 23)) == "White casting blend…"
    assert plain(worded(row("Unbrokenword and"), 8)) == "Unbroke…"
    assert plain(worded(row("砂の名前が長い"), 6)) == "砂の…"
    assert plain(first_fitting((line, row("White blend"), row("blend")), 12)) == "White blend"
    assert plain(first_fitting((line, row("White casting")), 10)) == "White…"


async def test_a_window_that_changes_during_a_pour_loses_nothing() -> None:
    async with bench(_long(NAMES[1])) as at:
        await at.type("3", "comma", "2")
        for size in ((40, 12), (1, 1), (200, 60), (60, 20), (7, 3), (80, 24)):
            await at.pilot.resize_terminal(*size)
            await at.pilot.pause()
        await at.until(lambda: "typed 3,2_ kilograms" in at.text)
        assert "right     5.10 to 5.30 kg" in at.text
        assert at.desk.answers == []
