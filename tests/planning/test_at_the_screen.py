"""A whole planning talk on a real pty of 80 by 24, with the keys of a number pad alone."""

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from mixstation.wording import planning as words
from tests.screens.terminal import Terminal

pytestmark = pytest.mark.skipif(not Path("/dev/ptmx").exists(), reason="needs pseudo-terminals")

# What a number pad in its application mode sends.
PAD = {**{str(digit): f"\x1bO{chr(ord('p') + digit)}" for digit in range(10)}, "Enter": "\x1bOM"}


@pytest.fixture
def at(own_home: Path, tmp_path: Path) -> Iterator[Terminal]:
    program = "import sys; from mixstation.cli.main import main; sys.exit(main(['plan']))"
    terminal = Terminal(
        tmp_path, env={"MIXSTATION_HOME": str(own_home)}, command=[sys.executable, "-c", program]
    )
    yield terminal
    terminal.close()


def typed(at: Terminal, number: str) -> None:
    for digit in number:
        at.send(PAD[digit].encode())
    if number:
        at.wait(f"typed {number}_")


def answer(at: Terminal, number: str, *then: str) -> None:
    """Type a number, press Enter, and wait for what comes of it."""
    at.settle()
    typed(at, number)
    at.send(PAD["Enter"].encode())
    at.wait(*then)


def test_a_bench_top_planned_drawn_and_begun_with_the_number_pad(at: Terminal) -> None:
    at.wait("question 1 of 11", words.SHAPE_ASK, "[1] slab", "[9] something else")
    answer(at, "", "How long is it?", "900 mm")
    answer(at, "700", "How wide is it?", "slab 700 mm × 450 mm, from above")
    answer(at, "420", "How thick is it all together?", "420 mm", "18 mm")
    answer(at, "16", "How thick is the face coat?", "one coat 16 mm")
    answer(at, "3", "How many of it are cast?", "face coat 3 mm, backing coat 13 mm")
    answer(at, "", "Which recipe?", "[2] Hearth plate")
    answer(at, "2", "How large is the mixing bucket")
    answer(at, "", "How much is wasted")
    answer(at, "", "How warm is the shop?")
    text_before = at.text
    answer(at, "", "1 bucketful", "White casting blend, part 1 of 2", "Then take out of the bucket:")
    assert "[ENTER] mix bucket 1 of 1 now" in at.text
    assert "question 10 of 10" in text_before
    # One page on and back to the talk: nothing is lost.
    at.settle()
    at.send(b"\x1bOo")
    at.wait("page 2", "|<-", "700 mm")
    at.settle()
    at.send(b"\x1bOm")
    at.wait("How warm is the shop?")
    answer(at, "", "1 bucketful")
    answer(at, "", "Read this and put the gear on.", "step 1 of 17")
    at.send(b"\x03")
    assert at.ended() == 0


def test_a_slip_of_a_zero_is_seen_and_mended(at: Terminal) -> None:
    at.wait("question 1 of 11")
    answer(at, "", "How long is it?")
    answer(at, "700", "How wide is it?")
    before = at.text
    answer(at, "4500", "How thick is it all together?", "4500 mm")
    assert max(line.count("#") for line in at.text.splitlines()) * 5 < max(
        line.count("#") for line in before.splitlines()
    )
    at.settle()
    at.send(b"\x1bOm")
    at.wait("How wide is it?", "[ENTER] take 4500 mm")
    answer(at, "450", "How thick is it all together?", "slab 700 mm × 450 mm")


def test_left_in_the_middle(at: Terminal) -> None:
    at.wait("question 1 of 11")
    at.send(b"\x03")
    assert at.ended() == 0
    assert "Traceback" not in at.text
    assert words.LEFT_PLANNING in at.text
    # No plan is kept: there is nothing to go on from.
    assert "go on from there" not in at.text
