"""Whatever is said on the command line gets a sentence: no traceback, nothing a terminal acts on, a sane exit code."""

import os
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.cli.driven import COMMANDS, Driven, drive, options_of
from tests.depth import examples, first

NASTY = (
    "",
    " ",
    "a\0b",
    "\x1b[2J\x1b]0;owned\x07",
    "\x9b31m",
    os.fsdecode(b"\xff\xfe"),
    "\u202eesrever\u2066",
    "a\nb\rc\td",
    "9" * 10_000,
    "x" * 10_000,
    "nan",
    "inf",
    "-1",
    "1e9",
    "0",
    "50",
    "0 g",
    "-3 kg",
    "9999999 kg",
    "5000 °C",
    "999999 h",
    "٣ kg",
    "\N{PILE OF POO}",
    "--",
    "-",
    "{0.__class__}",
    "%s%n",
    "[/bold]",
    "FIFO",
    "FOLDER",
    "MISSING",
)


QUANTITY = r"[-+]?[0-9]{1,8}([.,][0-9]{1,4})? ?[a-zA-Z%°]{0,3}"


@pytest.fixture(autouse=True)
def home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    home = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("MIXSTATION_HOME", str(home))
    monkeypatch.chdir(home)
    os.mkfifo(home / "fifo")
    return home


def placed(text: str, home: Path) -> str:
    places = {"FIFO": home / "fifo", "FOLDER": home, "MISSING": home / "missing"}
    return str(places.get(text, text))


def check(run: Driven, words: tuple[str, ...]) -> None:
    assert run.code in (0, 1, 2), words
    assert run.acting_signs == set(), words
    assert "Traceback" not in run.said, words
    assert "An error of the program" not in run.said, (words, run.said)
    assert len(run.said) < 60_000, words


def said_in(command: tuple[str, ...], text: str) -> list[tuple[str, ...]]:
    """A text in the place of each word of a command, behind it, and as an option of its own."""
    names = {"records", "stock", "scale", "list", "show"}
    start = 1 + (command[0] in names or bool(names & set(command[1:2])))
    swapped = [(*command[:at], text, *command[at + 1 :]) for at in range(start, len(command))]
    return [*swapped, (*command, text), (*command, f"--{text}")]


def turn(at: int, every: int) -> tuple[str, ...]:
    """Each place meets some of the texts, all of them in the deep profile; together they meet all."""
    return NASTY if examples(100) > 100 else NASTY[at % every :: every]


# One in so many of the texts at a place.
SOME = pytest.mark.parametrize("every", first(1, (15, 5)))


@SOME
@pytest.mark.parametrize("text", NASTY)
def test_in_the_place_of_any_word(text: str, every: int, home: Path) -> None:
    for at, command in enumerate(COMMANDS):
        if text not in turn(at + NASTY.index(text) // every, every):
            continue
        for words in said_in(command, placed(text, home)):
            check(drive(*words), words)
    check(drive(placed(text, home)), (text,))


@SOME
@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_as_the_value_of_any_option(command: tuple[str, ...], every: int, home: Path) -> None:
    for at, option in enumerate(options_of(command), start=COMMANDS.index(command)):
        count = option.nargs if isinstance(option.nargs, int) else 1
        for text in turn(at, every):
            values = [placed(text, home)] * count
            words = (*command, option.option_strings[-1], *values)
            check(drive(*words), words)


@settings(max_examples=examples(30))
@given(
    command=st.sampled_from(COMMANDS),
    place=st.integers(1, 8),
    text=st.text(max_size=30) | st.from_regex(QUANTITY, fullmatch=True),
)
def test_any_text(command: tuple[str, ...], place: int, text: str) -> None:
    option = options_of(command)
    values = [text] * 3
    words = list(command)
    words[min(place, len(words)) :] = [text]
    check(drive(*words), tuple(words))
    if option:
        chosen = option[place % len(option)]
        count = chosen.nargs if isinstance(chosen.nargs, int) else 1
        whole = (*command, chosen.option_strings[-1], *values[:count])
        check(drive(*whole), whole)
