"""Time: working time by the suspend-aware clock and as a band, mixing by the hand's own clock, rests like the mix."""

import pytest

from mixstation.batch.commands import Discard, DoneStep, NoteTemperature, Pause, StartTimer, TakeUp
from mixstation.batch.events import ClockStepped, ProgramResumed
from mixstation.batch.moment import celsius, chemical_s, worked_s
from mixstation.proportion.maturity import constant_rate_ratio, energy_rate_ratio
from tests.batch.making import Bench, Hands, blend, raw, values_of


def watered(**fields: object) -> Bench:
    bench = blend(**fields)  # type: ignore[arg-type]
    bench.pours()
    return bench


@pytest.mark.parametrize("mix_c", [10.0, 20.0, 30.0])
def test_working_time_is_a_band_from_both_rates(mix_c: float) -> None:
    """30 min at 20 °C over the rate at the mix's temperature, 20 % either side (Choice).

    Rates at 10 and 30 °C: .4974 and 1.5737 (Freiesleben Hansen and Pedersen 1977 [mem]), .5472 and 1.7563 (the form of
    ASTM C1074, Q = 5000 K [mem]).
    """
    bench = watered()
    bench.does(NoteTemperature(mix_milli_c=round(1000 * mix_c), shown=""))
    minutes = [30 / rate(mix_c) for rate in (energy_rate_ratio, constant_rate_ratio)]
    working = bench.advice.working
    assert working.low_s == pytest.approx(60 * min(minutes) * 0.8)
    assert working.high_s == pytest.approx(60 * max(minutes) * 1.2)
    printed = {10.0: (30 / 0.5472, 30 / 0.4974), 20.0: (30, 30), 30.0: (30 / 1.7563, 30 / 1.5737)}
    assert sorted(minutes) == pytest.approx(printed[mix_c], rel=1e-3)


def test_before_the_mix_is_taken_the_shop_stands_in_for_it() -> None:
    assert watered(shop_c=30.0).advice.working.low_s < watered(shop_c=10.0).advice.working.low_s
    assert watered(shop_c=None).advice.working == watered(shop_c=20.0).advice.working


@pytest.mark.parametrize(
    ("minutes", "place", "code"),
    [
        (19, "good", None),
        (20, "near", "time-near"),
        (24, "past", "time-near"),
        (26, "past", "time-late"),
        (36, "past", "time-past"),
    ],
)
def test_places_in_the_band(minutes: int, place: str, code: str | None) -> None:
    """24 to 36 min at 20 °C; near from four fifths of the earlier end, 19.2 min; late a twentieth past it, 25.2 min."""
    bench = watered()
    bench.hands.go(60 * minutes)
    assert bench.advice.working.place == place
    assert bench.codes == ({code} if code else set())
    if code is not None:
        assert values_of(bench.flags[code]) == {"since_s": 60 * minutes, "low_s": 1440, "high_s": 2160}


def test_before_the_first_water_no_clock_runs() -> None:
    bench = blend()
    bench.hands.go(10_000)
    assert (bench.advice.working.since_s, bench.advice.working.place) == (None, "before")
    assert bench.codes == set()


def test_the_mix_ages_while_the_machine_sleeps_and_the_paddle_does_not_turn() -> None:
    bench = watered().goes_to("mix-1")
    bench.does(StartTimer())
    since = bench.advice.working.since_s
    assert since is not None
    bench.hands.suspend(600)
    advice = bench.advice
    assert advice.working.since_s == since + 600
    assert advice.timing is not None
    assert advice.timing.elapsed_s == 0


def test_a_rest_goes_on_while_the_machine_sleeps() -> None:
    bench = blend().goes_to("rest")
    bench.hands.suspend(240)
    timing = bench.advice.timing
    assert timing is not None
    assert timing.elapsed_s == 240
    bench.does(DoneStep())
    assert bench.codes == set()


def test_after_a_restart_the_wall_clock_carries_the_mix() -> None:
    bench = watered()
    bench.hands.go(300)
    bench.hands.restart(120)
    assert bench.advice.working.since_s == 420


def test_a_rest_outlives_a_restart() -> None:
    bench = blend().goes_to("rest")
    bench.hands.restart(200)
    bench.tell(ProgramResumed(program="0.1.0"))
    timing = bench.advice.timing
    assert timing is not None
    assert timing.elapsed_s == 200


@pytest.mark.parametrize("by_s", [3600, -3600, 86_400, -86_400])
def test_a_step_of_the_wall_clock_changes_no_advice(by_s: int) -> None:
    bench = watered()
    bench.hands.go(300)
    before = bench.advice
    bench.hands.utc_ms += 1000 * by_s
    bench.tell(ClockStepped(by_ms=1000 * by_s))
    after = bench.advice
    assert (after.working, after.timing, after.flags) == (before.working, before.timing, before.flags)
    assert after.standing.projection == before.standing.projection


@pytest.mark.parametrize("by_s", [3600, -3600])
def test_nor_does_it_after_a_restart(by_s: int) -> None:
    bench = blend().goes_to("rest")
    bench.hands.go(60)
    since = bench.advice.working.since_s
    assert since is not None
    bench.hands.utc_ms += 1000 * by_s
    bench.tell(ClockStepped(by_ms=1000 * by_s))
    bench.hands.restart(60)
    advice = bench.advice
    assert advice.working.since_s == since + 60
    assert advice.timing is not None
    assert advice.timing.elapsed_s == 120


def test_a_batch_that_has_ended_ages_no_more() -> None:
    """After a restart of the machine the wall clock alone carries the mix: whoever sets it then ages nothing."""
    bench = watered()
    bench.hands.go(300)
    bench.hands.restart(120)
    bench.does(Discard(reason="dropped or dirtied"))
    since = bench.advice.working.since_s
    bench.hands.utc_ms += 3_600_000
    bench.hands.go(60)
    assert bench.advice.working.since_s == since == 421


def test_time_is_never_negative() -> None:
    now, before = Hands(), Hands()
    before.go(-50)
    assert chemical_s(now.stamp(), before.moment()) == 0
    assert worked_s(now.stamp(), before.moment()) == 0
    before.restart(0)
    assert chemical_s(now.stamp(), before.moment()) == 0
    assert worked_s(now.stamp(), before.moment()) == 0


def test_a_pause_stops_the_paddle_and_not_the_mix() -> None:
    bench = watered().goes_to("mix-1")
    bench.does(StartTimer())
    bench.hands.go(19)
    bench.does(Pause(reason="phone"))
    bench.hands.go(500)
    timing = bench.advice.timing
    assert timing is not None
    assert timing.elapsed_s == 20
    assert "mix-long" not in bench.codes
    bench.does(TakeUp())
    bench.hands.go(10)
    assert bench.refuses(DoneStep()).code == "too-soon"
    bench.hands.go(40)
    bench.does(DoneStep())
    assert not bench.codes & {"mix-short", "mix-long"}
    assert bench.advice.working.since_s == pytest.approx(500 + 19 + 10 + 40, abs=20)


def test_a_rest_goes_on_while_the_mixer_is_away() -> None:
    bench = blend().goes_to("rest")
    bench.does(Pause(reason="phone"))
    bench.hands.go(240)
    bench.does(TakeUp())
    bench.does(DoneStep())
    assert bench.codes == set()


def test_mixing_times_are_in_the_flag() -> None:
    bench = raw().goes_to("mix-1")
    bench.mixes(42, confirmed=True)
    flag = bench.flags["mix-short"]
    assert values_of(flag) == {"took_s": 42, "min_s": 60, "max_s": 90}
    bench = raw().goes_to("fold")
    bench.mixes(100)
    assert (bench.flags["mix-long"].gravity, values_of(bench.flags["mix-long"])["took_s"]) == ("note", 100)


def test_mixing_across_a_restart_is_not_called_short() -> None:
    """Nobody knows how long it was: no flag, but the too-soon question is asked."""
    bench = blend().goes_to("mix-1")
    bench.does(StartTimer())
    bench.hands.restart(30)
    assert bench.refuses(DoneStep()).code == "too-soon"
    bench.does(DoneStep(confirmed=True))
    assert "mix-short" not in bench.codes


def test_thousandths_of_a_degree() -> None:
    assert celsius(-1500) == -1.5


@pytest.mark.parametrize("milli_c", [-5_000, 70_000])
def test_temperatures_at_the_bounds_are_reckoned(milli_c: int) -> None:
    bench = watered(shop_c=95.0)
    assert bench.advice.working.low_s > 0
    bench.does(NoteTemperature(mix_milli_c=milli_c, shown=""))
    assert bench.advice.working.low_s > 0
