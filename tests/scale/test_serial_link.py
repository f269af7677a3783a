"""The serial link on a pseudo-terminal: unplugging, old readings, asking, silence."""

import os
import termios
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from mixstation.scale.emulator import EmulatedScale, Make
from mixstation.scale.ports import Port, same_device
from mixstation.scale.profile import Profile, SerialSettings
from mixstation.scale.pty_port import PtyPort
from mixstation.scale.serial_link import SerialLink
from mixstation.scale.serial_port import as_sent, open_port
from mixstation.scale.steadiness import steady
from tests.scale.line_faults import FaultRates, FaultyLine

from .conftest import PROFILES, wait_until

STEP_S = 0.05


class Bench:
    """An emulated scale on a port and a link to it; time passes for the scale while the bench waits."""

    def __init__(
        self, profile: Profile, line: Callable[[bytes], bytes] | None = None, make: Make | None = None
    ) -> None:
        self.scale = EmulatedScale(make or Make(noise_mg=0.0))
        self.scale.put_mg(650_000)
        self.scale.advance(5)
        self.port = PtyPort(self.scale, profile, line=line)
        self.link = SerialLink(self.port.name, profile)

    def until(self, condition: Callable[[], object]) -> None:
        wait_until(condition, lambda: self.port.pump(STEP_S))

    def until_shown(self, mass_mg: int, unit: str = "kg") -> None:
        def shows() -> bool:
            newest = self.link.latest()
            return newest is not None and (newest.mass_mg, newest.unit) == (mass_mg, unit)

        self.until(shows)

    def until_state(self, state: str) -> None:
        self.until(lambda: self.link.status().state == state)


@pytest.fixture
def make_bench() -> Iterator[Callable[..., Bench]]:
    with ExitStack() as stack:

        def made(name: str = "header-token-line", **how: Any) -> Bench:
            bench = Bench(PROFILES[name], **how)
            stack.callback(bench.port.stop)
            stack.callback(bench.link.stop)
            return bench

        yield made


def test_unplugged_mid_pour_and_back(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench()
    bench.link.start()
    bench.until_shown(650_000)
    first_device = Path(bench.port.name).resolve()
    bench.scale.pour(100_000, total_mg=400_000)
    bench.scale.advance(1)
    with held_open(bench.port.name):
        bench.scale.unplug()
        bench.until_state("lost")
        last = bench.link.latest()
        assert last is not None
        assert not Path(bench.port.name).exists()
        bench.scale.advance(5)
        bench.scale.replug()
        bench.until_shown(1_050_000)
        assert Path(bench.port.name).resolve() != first_device
    newest = bench.link.latest()
    assert newest is not None
    assert newest.serial > last.serial
    assert bench.link.status().state == "live"
    assert sum(pour.mass_mg for pour in bench.scale.poured) == 400_000


def test_unplugged_again_and_again(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench()
    bench.link.start()
    for _ in range(4):
        bench.until_state("live")
        bench.scale.unplug()
        bench.until_state("lost")
        bench.scale.replug()
    bench.until_state("live")


def test_a_port_that_comes_later(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench()
    bench.scale.unplug()
    bench.port.pump(STEP_S)
    bench.link.start()
    bench.until_state("lost")
    assert bench.link.status().detail
    bench.scale.replug()
    bench.until_state("live")


OLD = b"ST,GS,+  99.000kg\r\n"


def test_old_readings_are_thrown_away(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench()
    bench.port.send_raw(OLD * 40)
    bench.link.start()
    bench.until(lambda: len(bench.link.recent()) >= 5)
    assert {reading.mass_mg for reading in bench.link.recent()} == {650_000}
    assert bench.link.status().bad_count == 0


def test_old_readings_an_adapter_still_held_are_thrown_away(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench()
    link = SerialLink(bench.port.name, PROFILES["header-token-line"], discard_s=1.0)
    with held_open(bench.port.name) as end:

        def is_opened() -> bool:
            # Opening sets the speed of the profile.
            return bool(termios.tcgetattr(end)[4] == termios.B9600)

        assert not is_opened()
        link.start()
        wait_until(is_opened)
        bench.port.send_raw(OLD * 10)
        bench.until(lambda: len(link.recent()) >= 5)
        link.stop()
    assert {reading.mass_mg for reading in link.recent()} == {650_000}


@contextmanager
def held_open(name: str) -> Iterator[int]:
    """The far end of a pseudo-terminal, kept open: its number is not given to another one meanwhile."""
    end = os.open(name, os.O_RDWR | os.O_NOCTTY)
    try:
        yield end
    finally:
        os.close(end)


def test_unit_key_mid_pour(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench()
    bench.link.start()
    bench.until_shown(650_000)
    bench.scale.pour_at_once(350_000)
    bench.scale.press_unit()
    # 1.000 kg is 2.2046 lb, shown as 2.204 lb in steps of 0.002; NIST SP 811: 1 lb = 453.592 37 g.
    bench.until_shown(round(2.204 * 453_592.37), "lb")
    newest = bench.link.latest()
    assert newest is not None
    # The profile does not know that this scale counts in twos; it goes by the digits sent.
    assert newest.division_mg == 454
    assert steady(bench.link.recent()[-2:], newest.at_s).state == "moving"


def test_overload_has_no_weight(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench()
    bench.link.start()
    bench.until_shown(650_000)
    bench.scale.put_mg(40_000_000)
    bench.until(lambda: (newest := bench.link.latest()) and newest.fault == "overload")
    newest = bench.link.latest()
    assert newest is not None
    assert newest.mass_mg is None
    assert steady(bench.link.recent(), newest.at_s).state == "fault"
    bench.scale.put_mg(-40_000_000)
    bench.until_shown(650_000)


def test_polled_scale_is_asked(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench("polled-line")
    bench.link.start()
    bench.until_shown(650_000)
    bench.scale.pour_at_once(100_000)
    bench.until_shown(750_000)


def test_streaming_scale_is_sent_nothing(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench()
    bench.link.start()
    bench.until(lambda: len(bench.link.recent()) >= 10)
    assert bench.port.received() == b""


def test_auto_off_is_silence(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench(make=Make(noise_mg=0.0, auto_off_s=8.0))
    bench.link.start()
    bench.until_state("live")
    bench.until_state("silent")
    bench.scale.press_on()
    bench.until_state("live")


def test_garbage_and_flood_do_not_end_it(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench(
        line=FaultyLine(FaultRates(garbage=0.3, truncated=0.2, merged=0.2, parity=0.5), seed=8)
    )
    bench.link.start()
    bench.until(lambda: bench.link.status().good_count >= 20)
    bench.port.send_raw(b"\xff\x00" * 20_000)
    before = bench.link.status().good_count
    bench.until(lambda: bench.link.status().good_count >= before + 20)
    assert {reading.mass_mg for reading in bench.link.recent()} == {650_000}
    assert bench.link.status().bad_count > 0
    assert bench.link.status().detail.isprintable()


def test_port_is_ours_alone_until_stopped(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench()
    bench.link.start()
    bench.until_state("live")
    with pytest.raises(OSError, match="lock"):
        open_port(bench.port.name, SerialSettings(), is_text=True)
    second = SerialLink(bench.port.name, PROFILES["header-token-line"])
    second.start()
    bench.until(lambda: second.status().state == "lost")
    bench.link.stop()
    bench.until(lambda: second.status().state == "live")
    second.stop()
    with closing(open_port(bench.port.name, SerialSettings(), is_text=True)):
        pass


def test_in_its_own_threads(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench()
    bench.port.start()
    bench.link.start()
    wait_until(lambda: bench.link.status().good_count >= 5)
    bench.scale.unplug()
    wait_until(lambda: bench.link.status().state == "lost")
    bench.scale.replug()
    wait_until(lambda: bench.link.status().state == "live")


class TestParity:
    # "W" is 0x57: five ones; even parity sets bit 7, odd does not.
    @pytest.mark.parametrize(
        ("settings", "expected"),
        [
            (SerialSettings(data_bits=7, parity="even"), b"\xd7"),
            (SerialSettings(data_bits=7, parity="odd"), b"\x57"),
            (SerialSettings(data_bits=7, parity="mark"), b"\xd7"),
            (SerialSettings(data_bits=7, parity="space"), b"\x57"),
            (SerialSettings(data_bits=7, stop_bits=2), b"\xd7"),
            (SerialSettings(), b"\x57"),
            (SerialSettings(data_bits=7, parity="even", stop_bits=2), b"\x57"),
        ],
    )
    def test_request(self, settings: SerialSettings, expected: bytes) -> None:
        profile = replace(PROFILES["polled-line"], serial=settings)
        assert as_sent(b"W", profile) == expected


class TestSameDevice:
    def port(self, device: str, vendor_id: int | None = 1, serial_number: str = "A1") -> Port:
        return Port(
            device=device,
            stable_name="",
            description="",
            vendor_id=vendor_id,
            product_id=2,
            serial_number=serial_number,
            location="",
        )

    def test_found_under_another_name(self) -> None:
        ports = [self.port("/dev/ttyUSB0", serial_number="B2"), self.port("/dev/ttyUSB1")]
        found = same_device(self.port("/dev/ttyUSB0"), ports)
        assert found is not None
        assert found.device == "/dev/ttyUSB1"

    def test_not_guessed(self) -> None:
        twins = [self.port("/dev/ttyUSB0", serial_number=""), self.port("/dev/ttyUSB1", serial_number="")]
        assert same_device(twins[0], twins) is None
        assert same_device(self.port("/dev/ttyUSB0"), [self.port("/dev/ttyUSB0", serial_number="B2")]) is None
        assert same_device(self.port("/dev/ttyS0", vendor_id=None), [self.port("/dev/ttyS0", None)]) is None
