"""Which profile reads what is heard."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.scale.decode import encode
from mixstation.scale.detect import detect, scores_of
from mixstation.scale.emulator import EmulatedScale, Make
from mixstation.scale.fields import Shown
from mixstation.scale.profile import Profile
from mixstation.scale.pty_port import PtyPort
from tests.scale.line_faults import FaultRates, FaultyLine

from .conftest import LINE_PROFILES, PROFILES

ALL = list(PROFILES.values())


def heard(profile: Profile, counts: range = range(12_300, 12_340)) -> bytes:
    shown = [
        Shown(count=count, decimals=3, unit="kg", motion="steady", tare_mark="gross") for count in counts
    ]
    return b"".join(encode(one, profile) for one in shown)


def best(data: bytes) -> str | None:
    first = scores_of(data, ALL)[0]
    return first.profile.name if first.fits else None


def test_each_shape_is_told_from_the_others(profile: Profile) -> None:
    assert best(heard(profile)) == profile.name
    assert best(heard(profile)[7:]) == profile.name


@given(st.sampled_from(ALL), st.integers(0, 10**6))
def test_a_few_bad_lines_do_not_matter(profile: Profile, seed: int) -> None:
    line = FaultyLine(FaultRates(garbage=0.03, truncated=0.03, parity=0.5), seed=seed)
    data = b"".join(line(heard(profile, range(count, count + 1))) for count in range(12_300, 12_400))
    assert best(data) == profile.name


@given(st.binary(max_size=3000))
def test_noise_fits_nothing(data: bytes) -> None:
    assert best(data) is None


def test_two_frames_are_too_few() -> None:
    assert best(b"\r\n" + heard(PROFILES["polled-line"], range(2))) is None
    assert best(b"\r\n" + heard(PROFILES["polled-line"], range(3))) == "polled-line"


@pytest.mark.parametrize("name", ["header-token-line", "enclosed-with-check"])
def test_on_a_port(name: str) -> None:
    scale = EmulatedScale(Make(noise_mg=0.0))
    port = PtyPort(scale, PROFILES[name])
    try:
        for _ in range(20):
            port.pump(0.1)

        def keep_sending() -> bool:
            port.pump(0.1)
            return False

        found = detect(port.name, ALL, listen_s=0.3, should_stop=keep_sending)
        assert found.profile is not None
        assert found.profile.name == name
        assert found.baud == 9600
        assert port.received() == b""
    finally:
        port.stop()


def test_nothing_heard_is_given_up_early() -> None:
    port = PtyPort(EmulatedScale(), LINE_PROFILES[0])
    try:
        found = detect(port.name, ALL, listen_s=0.05)
    finally:
        port.stop()
    assert (found.profile, found.heard_byte_count, found.baud) == (None, 0, 4800)
