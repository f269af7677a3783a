"""What every link keeps to, tried on a serial port, on the emulated scale in this process, and on a recording."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from threading import Thread
from time import monotonic

import pytest

from mixstation.scale.decode import encode
from mixstation.scale.emulator import EmulatedScale, Make
from mixstation.scale.profile import Profile
from mixstation.scale.pty_port import PtyPort, frame_of
from mixstation.scale.reading import Link
from mixstation.scale.serial_link import SerialLink
from tests.scale.emulated_link import EmulatedLink
from tests.scale.replay_link import Piece, ReplayLink

from .conftest import PROFILES, HandClock, wait_until

PROFILE = PROFILES["header-token-line"]
TRUE_MG = 12_345_000
STEP_S = 0.05


@dataclass(kw_only=True)
class Rig:
    """A link, and a way to let time pass for it."""

    link: Link
    now_s: Callable[[], float]
    step: Callable[[], object]

    def until(self, condition: Callable[[], object]) -> None:
        wait_until(condition, self.step)


def still_scale() -> EmulatedScale:
    scale = EmulatedScale(Make(noise_mg=0.0))
    scale.put_mg(TRUE_MG)
    scale.advance(5)
    return scale


def serial_rig(_: HandClock) -> Iterator[Rig]:
    port = PtyPort(still_scale(), PROFILE)
    yield Rig(link=SerialLink(port.name, PROFILE), now_s=monotonic, step=lambda: port.pump(STEP_S))
    port.stop()


def clock_step(clock: HandClock) -> Callable[[], None]:
    def step() -> None:
        clock.now_s += STEP_S

    return step


def emulated_rig(clock: HandClock) -> Iterator[Rig]:
    link = EmulatedLink(still_scale(), PROFILE, clock, rate_hz=20)
    yield Rig(link=link, now_s=clock, step=clock_step(clock))


def replay_rig(clock: HandClock) -> Iterator[Rig]:
    scale = still_scale()
    pieces: list[Piece] = []
    for index in range(400):
        scale.advance(STEP_S)
        pieces.append((index * STEP_S, frame_of(scale, PROFILE)))
    yield Rig(link=ReplayLink(pieces, PROFILE, clock), now_s=clock, step=clock_step(clock))


@pytest.fixture(params=[serial_rig, emulated_rig, replay_rig], ids=["serial", "emulated", "replayed"])
def rig(request: pytest.FixtureRequest, clock: HandClock) -> Iterator[Rig]:
    for made in request.param(clock):
        yield made
        made.link.stop()


def test_before_start_there_is_nothing(rig: Rig) -> None:
    assert rig.link.latest() is None
    assert rig.link.recent() == ()
    assert rig.link.status().state == "opening"
    assert rig.link.status().profile == PROFILE.name


def test_readings_are_true_and_in_order(rig: Rig) -> None:
    begun_s = rig.now_s()
    rig.link.start()
    rig.until(lambda: len(rig.link.recent()) >= 20)
    some = rig.link.recent()
    assert {reading.mass_mg for reading in some} == {TRUE_MG}
    assert {reading.text for reading in some} == {"ST,GS,+  12.345kg"}
    assert [reading.serial for reading in some] == sorted({reading.serial for reading in some})
    times = [reading.at_s for reading in some]
    assert times == sorted(times)
    assert begun_s <= times[0] <= times[-1] <= rig.now_s()


def test_recent_gives_what_is_newer(rig: Rig) -> None:
    rig.link.start()
    rig.until(lambda: len(rig.link.recent()) >= 5)
    some = rig.link.recent()
    middle = some[2].serial
    assert [reading.serial for reading in rig.link.recent(middle)][:2] == [some[3].serial, some[4].serial]
    rig.until(lambda: rig.link.recent(some[-1].serial))
    newest = rig.link.latest()
    assert newest is not None
    assert newest.serial > some[-1].serial


def test_memory_is_bounded(rig: Rig) -> None:
    rig.link.start()
    rig.until(lambda: rig.link.status().good_count >= 100)
    assert len(rig.link.recent()) <= 64


def test_live_after_the_first_frame(rig: Rig) -> None:
    rig.link.start()
    rig.until(lambda: rig.link.latest() is not None)
    status = rig.link.status()
    assert (status.state, status.bad_count) == ("live", 0)
    assert status.good_count >= 1
    assert status.since_s <= rig.now_s()


def test_starting_twice_is_starting_once(rig: Rig) -> None:
    rig.link.start()
    rig.link.start()
    rig.until(lambda: len(rig.link.recent()) >= 3)
    status, newest = rig.link.status(), rig.link.latest()
    assert newest is not None
    assert status.good_count <= newest.serial <= rig.link.status().good_count


def test_nothing_comes_after_stop(rig: Rig) -> None:
    rig.link.start()
    rig.until(lambda: rig.link.latest() is not None)
    rig.link.stop()
    newest = rig.link.latest()
    assert rig.link.status().state == "closed"
    for _ in range(10):
        rig.step()
    assert rig.link.latest() == newest
    rig.link.stop()
    assert rig.link.status().state == "closed"


def test_stop_before_start(rig: Rig) -> None:
    rig.link.stop()
    assert rig.link.status().state == "closed"


def test_any_thread_may_ask(rig: Rig) -> None:
    rig.link.start()
    faults: list[BaseException] = []

    def ask() -> None:
        try:
            for _ in range(300):
                some = rig.link.recent()
                assert [reading.serial for reading in some] == sorted(reading.serial for reading in some)
                rig.link.latest()
                rig.link.status()
        except BaseException as fault:
            faults.append(fault)

    threads = [Thread(target=ask) for _ in range(3)]
    for thread in threads:
        thread.start()
    rig.until(lambda: not any(thread.is_alive() for thread in threads))
    assert faults == []


def test_silent_two_seconds_after_the_last(clock: HandClock) -> None:
    # A recording that has come to its end is a line that has gone silent.
    link = ReplayLink([(0.0, b"\n"), (0.5, encode(PROFILE.samples[0][1], PROFILE))], PROFILE, clock)
    link.start()
    clock.now_s += 0.5
    assert link.status().state == "live"
    clock.now_s += 1.9
    assert link.status().state == "live"
    clock.now_s += 0.2
    assert link.status().state == "silent"
    assert link.status().since_s == pytest.approx(clock.now_s - 0.1)


def test_emulated_plug(clock: HandClock) -> None:
    scale = still_scale()
    link = EmulatedLink(scale, PROFILE, clock)
    link.start()
    clock.now_s += 1
    count = link.status().good_count
    assert count == 10
    scale.unplug()
    clock.now_s += 1
    assert (link.status().state, link.status().good_count) == ("lost", count)
    scale.replug()
    clock.now_s += 1
    assert (link.status().state, link.status().good_count) == ("live", count + 10)


def test_every_profile_reads_the_emulated_scale(profile: Profile, clock: HandClock) -> None:
    link = EmulatedLink(still_scale(), profile, clock)
    link.start()
    clock.now_s += 2
    assert {reading.mass_mg for reading in link.recent()} == {TRUE_MG}
    assert {reading.division_mg for reading in link.recent()} == {1000}
    assert link.status().bad_count == 0
