"""Clock steps, suspend and a machine started anew."""

import pytest

from mixstation.batch.events import ClockStepped
from tests.station.mixer import mix
from tests.station.recipes import quick
from tests.station.yard import Yard


def at_mixing() -> Yard:
    """The first water is in, the first powder too, and the paddle turns."""
    yard = Yard("hearth_plate")
    mix(yard, until=lambda view: view.countdown is not None)
    return yard


def minutes(text: str) -> float:
    found, rest = text.split(":")
    return int(found) + int(rest) / 60


def elapsed_s(yard: Yard) -> float:
    assert yard.view.countdown is not None
    return 60 * minutes(yard.view.countdown.elapsed)


def since_water_s(yard: Yard) -> float:
    return 60 * minutes(yard.view.clock.since_water)


@pytest.mark.parametrize("by_s", [3600, -3600, 86_400, -86_400, 6])
def test_a_step_of_the_wall_clock_moves_no_timer_and_is_kept(by_s: int) -> None:
    yard = at_mixing()
    yard.wait(10)
    elapsed, since = elapsed_s(yard), since_water_s(yard)
    yard.clock.set_wall(by_s)
    yard.wait(2)
    assert elapsed_s(yard) == pytest.approx(elapsed + 2, abs=1)
    assert since_water_s(yard) == pytest.approx(since + 2, abs=1)
    assert [fact.by_ms for fact in yard.facts if isinstance(fact, ClockStepped)] == [by_s * 1000]
    assert yard.view.flags == ()


def test_a_time_servers_nudges_are_no_steps() -> None:
    yard = at_mixing()
    for _ in range(30):
        yard.clock.set_wall(0.9)
        yard.wait(0.5)
    assert not any(isinstance(fact, ClockStepped) for fact in yard.facts)


def test_in_suspend_the_paddle_stands_still_and_the_mix_ages() -> None:
    yard = at_mixing()
    yard.wait(10)
    elapsed, since = elapsed_s(yard), since_water_s(yard)
    yard.clock.suspend(600)
    yard.wait(1)
    assert elapsed_s(yard) == pytest.approx(elapsed + 1, abs=1)
    assert since_water_s(yard) == pytest.approx(since + 601, abs=1)
    assert not any(isinstance(fact, ClockStepped) for fact in yard.facts)


def test_past_its_working_time_the_mix_is_flagged_though_the_machine_slept() -> None:
    yard = at_mixing()
    assert yard.view.clock.place == "good"
    yard.clock.suspend(3 * 3600)
    yard.wait(1)
    assert yard.view.clock.place == "past"
    assert "time-past" in yard.flags


def test_a_machine_started_anew_mixes_again_and_still_knows_the_age() -> None:
    yard = at_mixing()
    yard.wait(30)
    since = since_water_s(yard)
    yard.clock.restart(after_s=240)
    yard.come_back()
    assert since_water_s(yard) == pytest.approx(since + 240, abs=2)
    # Nobody knows how long the paddle turned: that mixing begins again.
    assert yard.view.countdown is None
    assert yard.question.ask.startswith("Mix fast")
    yard.press()
    yard.wait(5)
    assert elapsed_s(yard) == pytest.approx(5, abs=1)
    assert not any(flag.gravity == "stop" for flag in yard.view.flags)


def test_a_clock_set_back_while_the_machine_was_off_takes_no_time_back() -> None:
    yard = at_mixing()
    before = since_water_s(yard)
    yard.wait(30)
    yard.clock.restart(after_s=-7200)
    yard.come_back()
    # What had gone when the last entry was kept, and what the machine has run since.
    assert since_water_s(yard) == before + yard.clock.boot_ms // 1000
    mix(yard, verdict="too stiff", tick_s=0.5)
    assert yard.run.ended == "finished"


@pytest.mark.parametrize("by_s", [86_400, -86_400])
def test_a_clock_set_while_the_program_was_off_ages_nothing(by_s: int) -> None:
    """Once the machine was started anew the wall clock alone carries the age."""
    yard = at_mixing()
    yard.clock.restart(after_s=60)
    yard.come_back()
    before = since_water_s(yard)
    yard.clock.set_wall(by_s)
    yard.come_back()
    assert since_water_s(yard) == before


def test_a_pause_stands_the_paddle_still_on_the_screen_too() -> None:
    yard = at_mixing()
    yard.wait(10)
    yard.press("pause")
    yard.wait(300)
    assert "mix-long" not in yard.flags
    yard.press()
    assert elapsed_s(yard) == pytest.approx(10, abs=2)


def test_a_rest_goes_on_by_itself_and_through_suspend() -> None:
    yard = Yard(quick())
    mix(yard, until=lambda view: view.question.ask.startswith("Let it rest"))
    before = elapsed_s(yard)
    yard.clock.suspend(60)
    yard.wait(1)
    assert elapsed_s(yard) == pytest.approx(before + 61, abs=1)
