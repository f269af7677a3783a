"""The screen on a real pty: bytes in, picture out."""

import random
import re
import signal
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from mixstation.wording import front
from tests.screens import views
from tests.screens.terminal import PATIENCE_S, Terminal

pytestmark = pytest.mark.skipif(not Path("/dev/ptmx").exists(), reason="needs pseudo-terminals")

ASK = views.POUR_LIVE.question.ask
LEFT = front.LEFT_RESUMABLE.format(place=views.POUR_LIVE.place)
COLOUR = re.compile(rb"\x1b\[[0-9;]*\b(?:3[0-7]|38;[0-9;]+|4[0-7]|48;[0-9;]+|9[0-7]|10[0-7])m")

Start = Callable[..., Terminal]


@pytest.fixture
def start(tmp_path: Path) -> Iterator[Start]:
    started: list[Terminal] = []

    def starting(*names: str, **options: object) -> Terminal:
        started.append(Terminal(tmp_path, *names, **options))  # type: ignore[arg-type]
        return started[-1]

    yield starting
    for terminal in started:
        terminal.close()


def _flat(text: str) -> str:
    return "".join(text.split())


@pytest.mark.parametrize(("columns", "height"), [(80, 24), (120, 40), (200, 60), (50, 15)])
def test_a_pour_by_number_pad_at_every_size(start: Start, columns: int, height: int) -> None:
    at = start("pour-slow", "mix", columns=columns, height=height)
    at.wait("[ENTER]", "5.20 kg", "4.86 kg")
    at.key(b"5", "typed 5_")
    at.key(b",", "typed 5,_")
    at.key(b"2", "typed 5,2_")
    at.send(b"\r")
    at.wait(views.MIX.question.ask)
    at.send(b"\x03")
    assert at.ended() == 0
    assert at.answers() == [("enter", "5,2")]
    assert at.kept()["stops"] == 1
    assert _flat(front.LEFT_RESUMABLE.format(place=views.MIX.place)) in _flat(at.text)


def test_a_pad_in_application_mode_and_enter_as_line_feed(start: Start) -> None:
    at = start("pour-live", "mix", "pour-live", "mix")
    at.wait(ASK)
    typed = ""
    for sequence, digit in zip(b"qrstuvwxyp", "1234567890", strict=True):
        typed += digit
        at.key(b"\x1bO" + bytes([sequence]), f"typed {typed}_")
    at.key(b"\x1bOm", front.HOW_TO_TYPE["mass"].format(unit="kilograms"))
    at.key(b"\x1bOn", "typed ._")
    at.key(b"\x1bOl", "typed .,_")
    at.key(b"7", "typed .,7_")
    at.key(b"\x1bOM", views.MIX.question.ask)
    at.settle()
    at.key(b"\x1bOk", ASK)
    at.key(b"4", "typed 4_")
    at.key(b"\n", views.MIX.question.ask)
    at.send(b"\x11")
    assert at.ended() == 0
    assert at.answers() == [("enter", ".,7"), ("extra", ""), ("enter", "4")]


def test_keys_named_by_the_newer_keyboard_protocol(start: Start) -> None:
    at = start("pour-live", "mix")
    at.wait(ASK)
    at.key(b"\x1b[57402;129u", "typed 3_")
    at.key(b"\x1b[57409;129u", "typed 3._")
    at.key(b"\x1b[57404u", "typed 3.5_")
    at.send(b"\x1b[57414u")
    at.wait(views.MIX.question.ask)
    at.send(b"\x03")
    assert at.ended() == 0
    assert at.answers() == [("enter", "3.5")]


def test_a_mash_changes_nothing_and_says_so(start: Start) -> None:
    at = start("pour-live", "mix")
    at.wait(ASK)
    at.key(b"8", "typed 8_")
    at.send(b"4+\r6-")
    at.wait("Several keys at once", "[ENTER] take 8 kilograms")
    at.send(b"\x03")
    assert at.ended() == 0
    assert at.answers() == []


def test_bytes_that_are_no_text_do_not_end_the_screen(start: Start) -> None:
    at = start("pour-live", "mix")
    at.wait(ASK)
    for stray in (b"\xff", b"\xc3", b"\xe2\x82", b"\x80\x80", b"\x1b[99999999999u", b"\x1b[1;99999999999u"):
        at.send(stray)
    at.settle()
    at.key(b"6", "typed 6_")
    at.send(b"\x03")
    assert at.ended() == 0
    assert "Traceback" not in at.text


def test_random_bytes_do_not_end_the_screen(start: Start) -> None:
    at = start("pour-live")
    at.wait(ASK)
    chance = random.Random(4)
    for _ in range(40):
        noise = bytes(chance.randrange(256) for _ in range(50))
        # Not the two keys that leave, not the one that suspends, and no start of a paste.
        at.send(noise.translate(None, b"\x03\x11\x1a\x1b"))
        at.send(b"\x1b[" + noise[:5].translate(None, b"\x03\x11\x1a\x1b") + b"u")
    at.wait(ASK)
    assert at.process.poll() is None
    at.process.send_signal(signal.SIGTERM)
    assert at.ended() == 128 + signal.SIGTERM


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_signals_leave_the_batch_as_it_is(start: Start, number: signal.Signals) -> None:
    at = start("pour-live")
    at.wait(ASK)
    at.process.send_signal(number)
    assert at.ended() == 128 + number
    assert at.kept()["stops"] == 1
    assert _flat(LEFT) in _flat(at.text)
    assert b"\x1b[?1049l" in at.raw


def test_a_signal_while_it_opens(start: Start) -> None:
    at = start("hang")
    at.wait(front.OPENING)
    at.process.send_signal(signal.SIGTERM)
    assert at.ended() == 128 + signal.SIGTERM
    assert b"\x1b[?1049l" in at.raw


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="sees by /proc that a program stands still")
def test_a_signal_ends_it_even_when_the_terminal_takes_nothing_more(start: Start) -> None:
    at = start("flood")
    at.wait(ASK)
    at.stall()
    at.process.send_signal(signal.SIGTERM)
    assert at.process.wait(PATIENCE_S) == 128 + signal.SIGTERM
    assert at.kept()["stops"] == 1


def test_a_terminal_that_goes_away_ends_the_program(start: Start) -> None:
    at = start("pour-live")
    at.wait(ASK)
    at.hang_up()
    assert at.ended() == 128 + signal.SIGHUP


def test_what_cannot_be_opened_is_said_after_the_screen(start: Start) -> None:
    at = start("fail")
    assert at.ended() == 1
    text = at.text
    assert "recipe.toml:3: unknown key�[2J 'sannd'" in text
    assert "write: sand" in text
    assert "Traceback" not in text


def test_leaving_while_it_opens(start: Start) -> None:
    at = start("hang")
    at.wait(front.OPENING)
    at.send(b"\x03")
    assert at.ended() == 0
    assert front.LEFT_OPENING in at.text


def test_a_desk_that_fails_ends_the_screen_with_its_reason(start: Start) -> None:
    at = start("broken")
    assert at.ended() == 1
    assert _flat(front.FAILED.format(reason="a fault of our own")) in _flat(at.text)
    assert "Traceback" not in at.text


def test_a_failure_of_the_screen_is_not_a_clean_exit(start: Start) -> None:
    at = start("crash")
    assert at.ended() == 1
    assert _flat(front.CRASHED) in _flat(at.text)


def test_smallest_window_and_back(start: Start) -> None:
    at = start("pour-live")
    at.wait(ASK)
    at.resize(1, 1)
    at.resize(20, 5)
    at.wait("3.14 kg of 5.20 kg", "[ENTER]")
    at.resize(80, 24)
    at.wait(ASK, "still to pour")
    at.key(b"1", "typed 1_")


def test_no_colour_at_all(start: Start) -> None:
    at = start("pour-over", env={"NO_COLOR": "1"})
    at.wait("▲ Over by", "> over", "! WARN")
    at.send(b"\x03")
    at.ended()
    assert not COLOUR.findall(at.raw)


@pytest.mark.parametrize("term", ["xterm", "linux", "vt220", "screen"])
def test_only_the_sixteen_colours(start: Start, term: str) -> None:
    at = start("pour-over", env={"TERM": term})
    at.wait("▲ Over by", "> over", "! WARN")
    at.send(b"\x03")
    at.ended()
    assert COLOUR.findall(at.raw)
    assert b"38;" not in at.raw
    assert b"48;" not in at.raw
