"""The screen on a real pty: bytes in, picture out."""

import random
import re
import signal
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from mixstation.wording import front
from tests.screens import views
from tests.screens.terminal import PATIENCE_S, Terminal

pytestmark = pytest.mark.skipif(not Path("/dev/ptmx").exists(), reason="needs pseudo-terminals")

ASK = views.POUR_LIVE.question.ask
TYPING = ", as typed"
MIX_ASK = views.MIX.question.ask
LEFT = front.LEFT_RESUMABLE.format(place=views.POUR_LIVE.place)
COLOUR = re.compile(rb"\x1b\[[0-9;]*\b(?:3[0-7]|38;[0-9;]+|4[0-7]|48;[0-9;]+|9[0-7]|10[0-7])m")
MANY_COLOURS = re.compile(rb"\x1b\[[0-9;]*\b[34]8;[0-9;]*m")

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


class Lasting:
    """One program for many tests; each begins at the pour with nothing typed."""

    def __init__(self, folder: Path) -> None:
        self.terminal = Terminal(folder, *["pour-live", "mix"] * 30)

    def at_the_pour(self) -> Terminal:
        """Bring it back to where every test begins."""
        at = self.terminal
        assert at.process.poll() is None
        at.resize(80, 24)
        at.wait("[ENTER]")
        at.settle()
        if TYPING in at.text:
            at.send(b"-")
        elif MIX_ASK in at.text:
            at.send(b"\r")
        at.wait(ASK, "still to pour", without=TYPING)
        at.settle()
        return at


@pytest.fixture(scope="module")
def lasting(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lasting]:
    program = Lasting(tmp_path_factory.mktemp("lasting"))
    yield program
    program.terminal.close()


@pytest.fixture
def at(lasting: Lasting) -> Terminal:
    return lasting.at_the_pour()


@pytest.fixture
def answered(at: Terminal) -> Callable[[], list[tuple[str, str]]]:
    """What has been answered since the test began."""
    before_count = len(at.answers())
    return lambda: at.answers()[before_count:]


Answered = Callable[[], list[tuple[str, str]]]


def _flat(text: str) -> str:
    return "".join(text.split())


@pytest.mark.parametrize(("columns", "height"), [(80, 24), (120, 40), (200, 60), (50, 15)])
def test_a_pour_by_number_pad_at_every_size(
    at: Terminal, answered: Answered, columns: int, height: int
) -> None:
    at.resize(columns, height)
    at.wait("[ENTER]", "5.20 kg", "3.14 kg")
    at.key(b"5", "typed 5_")
    at.key(b",", "typed 5,_")
    at.key(b"2", "typed 5,2_")
    at.send(b"\r")
    at.wait(MIX_ASK)
    assert answered() == [("enter", "5,2")]


def test_a_pad_in_application_mode_and_enter_as_line_feed(at: Terminal, answered: Answered) -> None:
    typed = ""
    for sequence, digit in zip(b"qrstuvwxyp", "1234567890", strict=True):
        typed += digit
        at.key(b"\x1bO" + bytes([sequence]), f"typed {typed}_")
    at.key(b"\x1bOm", front.HOW_TO_TYPE["mass"].format(unit="kilograms"))
    at.key(b"\x1bOn", "typed ._")
    at.key(b"\x1bOl", "typed .,_")
    at.key(b"7", "typed .,7_")
    at.key(b"\x1bOM", MIX_ASK)
    at.settle()
    at.key(b"\x1bOk", ASK)
    at.key(b"4", "typed 4_")
    at.key(b"\n", MIX_ASK)
    assert answered() == [("enter", ".,7"), ("extra", ""), ("enter", "4")]


def test_keys_named_by_the_newer_keyboard_protocol(at: Terminal, answered: Answered) -> None:
    at.key(b"\x1b[57402;129u", "typed 3_")
    at.key(b"\x1b[57409;129u", "typed 3._")
    at.key(b"\x1b[57404u", "typed 3.5_")
    at.send(b"\x1b[57414u")
    at.wait(MIX_ASK)
    assert answered() == [("enter", "3.5")]


def test_a_mash_changes_nothing_and_says_so(at: Terminal, answered: Answered) -> None:
    at.key(b"8", "typed 8_")
    at.send(b"4+\r6-")
    at.wait("Several keys at once", "[ENTER] take 8 kilograms")
    at.settle()
    assert answered() == []


@pytest.mark.parametrize("pace_s", [0.16, 0.1])
def test_a_number_with_two_zeros_at_the_pace_of_a_hand(
    at: Terminal, answered: Answered, pace_s: float
) -> None:
    """A busy machine may get keys together that were pressed apart: then all are dropped and it is said."""
    for _ in range(10):
        for digit in b"1500":
            at.send(bytes([digit]))
            time.sleep(pace_s)
        at.wait("typed 15")
        if "typed 1500_" in at.text:
            break
        assert "typed 150_" not in at.text
        at.settle()
        at.key(b"\x1b", front.HOW_TO_TYPE["mass"].format(unit="kilograms"))
        at.settle()
    at.wait("typed 1500_")
    at.settle()
    at.send(b"\r")
    at.wait(MIX_ASK)
    assert answered() == [("enter", "1500")]


def test_digits_sent_at_once_leave_nothing_to_enter(at: Terminal, answered: Answered) -> None:
    at.send(b"832")
    at.wait(front.SAID["mash"])
    at.settle()
    at.send(b"\r")
    at.wait(front.SAID["early"])
    at.settle()
    assert answered() == []


def test_a_pasted_number_is_typed_whole(at: Terminal, answered: Answered) -> None:
    at.key(b"\x1b[200~0.832\x1b[201~", "typed 0.832_")
    at.key(b"\x1b[200~83 kg\x1b[201~", front.SAID["mash"])
    assert "take 0.832 kilograms, as typed" in at.text
    assert answered() == []


def test_bytes_that_are_no_text_do_not_end_the_screen(at: Terminal, answered: Answered) -> None:
    for stray in (b"\xff", b"\xc3", b"\xe2\x82", b"\x80\x80", b"\x1b[99999999999u", b"\x1b[1;99999999999u"):
        at.send(stray)
    at.settle()
    at.key(b"6", "typed 6_")
    assert answered() == []
    assert "Traceback" not in at.text


def test_smallest_window_and_back(at: Terminal) -> None:
    at.resize(1, 1)
    at.resize(20, 5)
    at.wait("3.14 kg of 5.20 kg", "[ENTER]")
    at.resize(80, 24)
    at.wait(ASK, "still to pour")
    at.key(b"1", "typed 1_")


def test_a_terminal_of_many_colours_is_sent_sixteen(at: Terminal) -> None:
    assert COLOUR.findall(at.raw)
    assert not MANY_COLOURS.findall(at.raw)


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
    assert at.kept()["stops"] == 1
    assert _flat(LEFT) in _flat(at.text)
    assert b"\x1b[?1049l" in at.raw


@pytest.mark.parametrize("number", [signal.SIGHUP, signal.SIGQUIT], ids=["hang-up", "quit"])
def test_a_signal_leaves_the_batch_as_it_is(start: Start, number: signal.Signals) -> None:
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
    at.process.send_signal(signal.SIGINT)
    assert at.ended() == 128 + signal.SIGINT
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


def _is_left_by(at: Terminal, key: bytes) -> None:
    """Leaving by key keeps the batch."""
    at.send(key)
    assert at.ended() == 0
    assert at.kept()["stops"] == 1
    assert _flat(LEFT) in _flat(at.text)


def test_no_colour_at_all(start: Start) -> None:
    at = start("pour-over", env={"NO_COLOR": "1"})
    at.wait("▲ Over by", "> over", "! WARN")
    _is_left_by(at, b"\x11")
    assert not COLOUR.findall(at.raw)


@pytest.mark.parametrize("term", ["linux", "vt220"])
def test_only_the_sixteen_colours(start: Start, term: str) -> None:
    at = start("pour-over", env={"TERM": term})
    at.wait("▲ Over by", "> over", "! WARN")
    _is_left_by(at, b"\x03")
    assert COLOUR.findall(at.raw)
    assert not MANY_COLOURS.findall(at.raw)
