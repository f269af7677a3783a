"""The end of placing is asked for with the closing, in one question; the last screen says what follows, and when."""

from datetime import UTC, datetime, timedelta

import pytest

from mixstation.batch.events import BatchFinished
from mixstation.station.view import View
from tests.station.mixer import mix
from tests.station.yard import Yard


def at_the_end(verdict: str = "right") -> Yard:
    """All steps are through."""
    yard = Yard("hearth_plate")
    mix(yard, verdict=verdict, until=lambda view: "/finish/" in view.question.ident)
    return yard


def closed_with(yard: Yard, typed: str = "") -> BatchFinished:
    """The closing, whatever checks are open."""
    yard.press(typed=typed)
    if "/finish/" not in yard.question.ident and not yard.run.ended:
        yard.press(typed="1")
    fact = yard.facts[-1]
    assert isinstance(fact, BatchFinished)
    return fact


def wall(yard: Yard) -> datetime:
    stamp = yard.run.entries[-1].stamp
    return datetime.fromtimestamp(stamp.utc_ms / 1000, UTC) + timedelta(minutes=stamp.offset_min)


@pytest.mark.parametrize("verdict", ["right", "too stiff"])
@pytest.mark.parametrize(("typed", "before_s"), [("", 0), ("0", 0), ("12", 720)])
def test_enter_is_now_and_a_number_is_minutes_ago(verdict: str, typed: str, before_s: int) -> None:
    yard = at_the_end(verdict)
    yard.wait(15 * 60)
    assert closed_with(yard, typed).placed_before_s == before_s


def test_a_day_later_enter_alone_says_nothing_of_placing() -> None:
    yard = at_the_end()
    yard.clock.suspend(20 * 3600)
    yard.come_back()
    assert yard.question.enter == "close the batch"
    assert closed_with(yard).placed_before_s is None


def test_a_day_later_it_can_still_be_said() -> None:
    yard = at_the_end()
    yard.clock.suspend(20 * 3600)
    assert closed_with(yard, "1200").placed_before_s == 20 * 3600


@pytest.mark.parametrize("typed", ["9999", "1.5", "20 min", "-3"])
def test_what_cannot_be_is_refused_with_what_to_type(typed: str) -> None:
    yard = at_the_end()
    yard.press(typed=typed)
    assert not yard.run.ended
    assert "/finish/" in yard.question.ident
    assert yard.view.notice.startswith(("Placed ", "Type a whole number"))


def last_lines(view: View) -> str:
    return "\n".join(view.question.detail)


@pytest.mark.parametrize("typed", ["", "10"])
def test_the_last_screen_says_when_it_may_be_stripped_sanded_and_sealed(typed: str) -> None:
    """A blend without a curing polymer: a day, an hour more, and a week moist with two days to dry."""
    yard = at_the_end()
    yard.wait(11 * 60)
    closed_with(yard, typed)
    placed_at = wall(yard) - timedelta(minutes=int(typed or 0))
    for hours in (24, 25, 216):
        assert (placed_at + timedelta(hours=hours)).strftime("%Y-%m-%d %H:%M") in last_lines(yard.view)


def test_a_discarded_batch_has_no_piece_to_strip() -> None:
    yard = at_the_end()
    yard.press("trouble")
    yard.pick("discard the batch")
    yard.press(typed="1")
    assert yard.run.ended == "discarded"
    assert "mould" not in last_lines(yard.view)
