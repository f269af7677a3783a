"""The board at every size: exact, readable without colour, and never without what has to be done."""

from itertools import product

import pytest

from mixstation.screens.gloves import Hands
from mixstation.screens.layout import board, opening
from mixstation.screens.rows import columns_of, plain
from mixstation.station.view import View
from mixstation.wording import front
from tests.screens import views
from tests.screens.pinned import pinned

SIZES = [
    (1, 1),
    (2, 1),
    (5, 3),
    (20, 5),
    (39, 11),
    (50, 15),
    (60, 18),
    (80, 24),
    (100, 30),
    (120, 40),
    (200, 60),
    (300, 9),
]
PINNED_SIZES = [(50, 15), (80, 24), (120, 40), (200, 60)]
PINNED_EVERYWHERE = ["pour-slow", "ways-out", "mix"]


def _text(view: View, columns: int, height: int, hands: Hands = Hands()) -> str:  # noqa: B008
    return "\n".join(plain(line).rstrip() for line in board(view, hands, columns, height)) + "\n"


@pytest.mark.parametrize("name", views.ALL)
@pytest.mark.parametrize(("columns", "height"), SIZES)
def test_every_view_fits_every_size(name: str, columns: int, height: int) -> None:
    for typed, said in product(("", "12,4", "2"), ("", "mash")):
        hands = Hands(typed=typed, said=said, pressed="enter" if said else "")
        rows = board(views.ALL[name], hands, columns, height)
        assert len(rows) == height
        assert all(columns_of(line) <= columns for line in rows)
        assert all(text.isprintable() for line in rows for text, _ in line)


@pytest.mark.parametrize("name", ["pour-live", "pour-slow", "pour-stop", "pour-over"])
@pytest.mark.parametrize(
    ("columns", "height"), [(30, 4), (40, 5), (50, 10), (59, 17), (60, 18), (80, 24), (200, 60)]
)
def test_target_actual_and_enter_stay(name: str, columns: int, height: int) -> None:
    view = views.ALL[name]
    assert view.pour is not None
    text = _text(view, columns, height)
    assert view.pour.target in text
    assert view.pour.actual in text
    assert "[ENTER]" in text


@pytest.mark.parametrize("name", [name for name in views.ALL if name != "hostile"])
@pytest.mark.parametrize(("columns", "height"), [(80, 24), (120, 40), (200, 60)])
def test_what_is_asked_is_there_in_plain_text(name: str, columns: int, height: int) -> None:
    view = views.ALL[name]
    text = " ".join(_text(view, columns, height).split())
    squeezed = text.replace(" ", "")
    assert view.question.ask.replace(" ", "") in squeezed
    assert "[ENTER]" in text
    if view.figure is not None:
        assert view.figure.plain in text
        assert view.figure.unit_word in text
    for act in view.question.acts:
        assert f"[{act.pad}] {act.words}" in text
    for choice in view.question.choices:
        assert f"[{choice.number}]" in text
        assert choice.words in text
    for flag in view.flags:
        assert f"{flag.symbol} {flag.word}" in text
    if view.clock.since_water:
        assert view.clock.since_water in text
    assert view.scale.state.partition(":")[0] in text
    if not view.saved_grave:
        assert view.title in text
        assert view.place in text


@pytest.mark.parametrize(("columns", "height"), [(80, 24), (120, 40), (200, 60)])
def test_states_differ_without_colour(columns: int, height: int) -> None:
    for name, words in [
        ("pour-slow", ["▼ Slow now", "< under"]),
        ("pour-stop", ["■ Stop", "= inside"]),
        ("pour-over", ["▲ Over by", "> over"]),
        ("cannot-tell", ["? can't tell on this scale"]),
        ("ways-out", ["> outside", "!! Too much water"]),
        ("scale-silent", [front.NO_LIVE_READING, "silent"]),
        ("storage-away", ["!! NOT SAVED"]),
        ("past-time", ["!! past its time"]),
    ]:
        text = _text(views.ALL[name], columns, height)
        for word in words:
            assert word in text, (name, word)


@pytest.mark.parametrize(("columns", "height"), [(80, 24), (120, 40), (200, 60)])
def test_the_figure_stands_still_while_the_pour_goes_on(columns: int, height: int) -> None:
    places = set()
    for name in (
        "pour-live",
        "pour-slow",
        "pour-stop",
        "pour-over",
        "mix",
        "rest",
        "storage-away",
        "typed-only",
    ):
        lines = _text(views.ALL[name], columns, height).splitlines()
        label = views.ALL[name].figure
        assert label is not None
        places.add(next(n for n, line in enumerate(lines) if line.startswith(label.label)))
    assert len(places) == 1


def test_typed_digits_take_the_large_figure_and_say_how_to_wipe() -> None:
    idle, typing = (_text(views.POUR_LIVE, 80, 24, Hands(typed=typed)) for typed in ("", "7"))
    assert idle.splitlines()[5:12] != typing.splitlines()[5:12]
    assert front.WIPES in typing
    assert "typed 7_ kilograms" in typing
    assert front.ENTER_TYPED.format(typed="7 kilograms") in typing


def test_a_typed_choice_is_marked_and_named_by_enter() -> None:
    text = _text(views.CONSISTENCY, 80, 24, Hands(typed="2"))
    assert ">[2]" in text
    assert ">[1]" not in text
    assert front.ENTER_CHOICE.format(number=2, words="right") in text


@pytest.mark.parametrize("said", front.SAID)
def test_every_word_about_a_key_is_shown(said: str) -> None:
    assert " ".join(front.SAID[said].split()) in " ".join(
        _text(views.POUR_LIVE, 80, 24, Hands(said=said)).split()
    )


def test_long_text_shows_its_end() -> None:
    text = _text(views.REASON, 80, 24, Hands(typed="because " * 20 + "the end"))
    assert "the end_" in text


def test_markup_in_data_is_only_text() -> None:
    assert "[b]bold[/b] [@click=app.bell]x[/]" in _text(views.HOSTILE, 120, 40)


def test_opening_says_so_and_nothing_else() -> None:
    assert [plain(line) for line in opening(40, 3)] == [front.OPENING, "", ""]


@pytest.mark.parametrize(("columns", "height"), PINNED_SIZES)
@pytest.mark.parametrize("name", PINNED_EVERYWHERE)
def test_pinned_sizes(name: str, columns: int, height: int) -> None:
    pinned(f"screens/{name}-{columns}x{height}.txt", _text(views.ALL[name], columns, height))


@pytest.mark.parametrize("name", [name for name in views.ALL if name not in PINNED_EVERYWHERE])
def test_pinned_views(name: str) -> None:
    pinned(f"screens/{name}-80x24.txt", _text(views.ALL[name], 80, 24))


def test_pinned_typing() -> None:
    pinned("screens/typing-80x24.txt", _text(views.POUR_SLOW, 80, 24, Hands(typed="12,4")))
