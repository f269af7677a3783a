"""What every link has in common."""

from dataclasses import replace

import pytest

from mixstation.scale.profile import Poll
from mixstation.scale.receiver import Receiver
from mixstation.scale.steadiness import steady

from .conftest import PROFILES, HandClock


def receiver(clock: HandClock, name: str = "value-unit-line") -> Receiver:
    made = Receiver(PROFILES[name], "port", clock)
    made.feed(b"\n", clock.now_s)
    return made


@pytest.mark.parametrize("rate_hz", [5, 10, 25, 50, 80, 100, 200, 400])
def test_steadiness_can_be_told_at_any_rate(clock: HandClock, rate_hz: int) -> None:
    made = receiver(clock)
    for _ in range(2 * rate_hz):
        clock.now_s += 1 / rate_hz
        made.feed(b"12.345 kg\r\n", clock.now_s)
    assert steady(made.recent(), clock.now_s).state == "steady"
    newest = made.latest()
    assert newest is not None
    assert (newest.serial, newest.at_s) == (2 * rate_hz, clock.now_s)
    assert made.status().good_count == 2 * rate_hz


def test_up_to_fifty_a_second_none_is_passed_over(clock: HandClock) -> None:
    made = receiver(clock)
    for _ in range(60):
        clock.now_s += 1 / 50
        made.feed(b"12.345 kg\r\n", clock.now_s)
    assert [reading.serial for reading in made.recent()] == list(range(1, 61))


def test_trouble_is_shown_without_control_characters(clock: HandClock) -> None:
    made = receiver(clock)
    made.feed(b"\x1b[2J 12.345 kg\r\n", clock.now_s)
    assert made.status().detail == "number-unreadable: \ufffd[2J 12.345 kg"
    assert (made.status().bad_count, made.latest()) == (1, None)


def test_states_in_turn(clock: HandClock) -> None:
    made = receiver(clock)
    assert made.status().state == "opening"
    clock.now_s += 2
    assert made.status().state == "silent"
    made.feed(b"12.345 kg\r\n", clock.now_s)
    assert made.status().state == "live"
    made.lost("unplugged\n")
    clock.now_s += 5
    made.lost("not there")
    status = made.status()
    assert (status.state, status.since_s, status.detail) == ("lost", 1002.0, "not there")
    made.opened()
    assert made.status().state == "opening"
    made.closed()
    made.lost("late")
    made.opened()
    made.feed(b"\n12.345 kg\r\n", clock.now_s)
    assert made.status().state == "closed"
    assert made.status().good_count == 1


def test_a_scale_that_is_seldom_asked_is_not_soon_silent(clock: HandClock) -> None:
    seldom = replace(PROFILES["polled-line"], poll=Poll(request=b"W", interval_s=1.0))
    made = Receiver(seldom, "port", clock)
    clock.now_s += 3.9
    assert made.status().state == "opening"
    clock.now_s += 0.2
    assert made.status().state == "silent"


def test_bytes_that_no_frame_can_be_read_from_are_unreadable_and_not_silent(clock: HandClock) -> None:
    made = receiver(clock)
    for _ in range(12):
        clock.now_s += 0.2
        made.feed(b"ST,G\x90\xfe+ 0?.4k\r\n", clock.now_s)
    status = made.status()
    assert (status.state, status.good_count) == ("unreadable", 0)
    assert status.unread.startswith("ST,G")
    clock.now_s += 1.5
    assert (made.status().state, made.status().unread) == ("silent", "")


@pytest.mark.parametrize("junk", [b"\x00\xff\x80" * 7, b"no end of line " * 3, b"\r\n\r\n\r\n"])
def test_another_speed_is_unreadable_whatever_it_looks_like(clock: HandClock, junk: bytes) -> None:
    made = receiver(clock)
    made.feed(b"\n12.345 kg\r\n", clock.now_s)
    for _ in range(12):
        clock.now_s += 0.2
        made.feed(junk, clock.now_s)
    assert made.status().state == "unreadable"
    made.feed(b"\r\n12.345 kg\r\n", clock.now_s)
    assert (made.status().state, made.status().unread) == ("live", "")


def test_now_and_then_a_good_line_among_garbled_ones_is_unreadable_between_them(clock: HandClock) -> None:
    made = receiver(clock)
    states = []
    for count in range(60):
        clock.now_s += 0.2
        made.feed(b"\r\n12.345 kg\r\n" if count % 20 == 0 else b"12?3#5\r\n", clock.now_s)
        states.append(made.status().state)
    assert set(states) == {"live", "unreadable"}
