"""Bytes into frames."""

import sys
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.scale.decode import decode, encode
from mixstation.scale.fields import Shown
from mixstation.scale.framing import framer_for
from mixstation.scale.profile import EnclosedFraming, LeadFraming, LineFraming, Profile
from mixstation.scale.receiver import Receiver
from mixstation.scale.steadiness import steady
from tests.scale.line_faults import FaultRates, FaultyLine

from .conftest import PROFILES, HandClock

WEIGHTS = [
    Shown(count=count, decimals=3, unit="kg", motion="steady", tare_mark="gross")
    for count in range(12_300, 12_340)
]


def stream(profile: Profile) -> bytes:
    return b"".join(encode(shown, profile) for shown in WEIGHTS)


def counts(data: bytes, profile: Profile) -> list[int]:
    """What a fresh framer makes of bytes, after the end of a line."""
    framer = framer_for(profile)
    results = [decode(frame, profile) for frame in framer.feed(b"\r\n" + data)]
    return [result.count for result in results if isinstance(result, Shown) and result.count is not None]


def test_all_frames_come_out(profile: Profile) -> None:
    assert counts(stream(profile), profile) == [shown.count for shown in WEIGHTS]


@given(st.sampled_from(list(PROFILES.values())), st.lists(st.integers(0, 700), max_size=30))
def test_pieces_do_not_matter(profile: Profile, cuts: list[int]) -> None:
    data = stream(profile)
    places = sorted({0, len(data), *(cut for cut in cuts if cut < len(data))})
    framer = framer_for(profile)
    frames = [frame for begin, end in pairwise(places) for frame in framer.feed(data[begin:end])]
    assert frames == framer_for(profile).feed(data)
    assert framer.spoiled_count == 0


def test_the_line_that_was_half_through_is_dropped() -> None:
    # "12.345 kg" from its second digit on would read as 2.345 kg.
    framer = framer_for(PROFILES["value-unit-line"])
    assert framer.feed(b"2.345 kg\r\n12.346 kg\r\n") == [b"12.346 kg"]


@given(st.sampled_from(list(PROFILES.values())), st.integers(0, 600))
def test_begun_anywhere_no_weight_is_made_up(profile: Profile, begin: int) -> None:
    data = stream(profile)[begin:]
    framer = framer_for(profile)
    results = [decode(frame, profile) for frame in framer.feed(data)]
    found = [result.count for result in results if isinstance(result, Shown)]
    assert found == [shown.count for shown in WEIGHTS][len(WEIGHTS) - len(found) :]
    assert len(found) >= len(data) // len(encode(WEIGHTS[0], profile)) - 1


def test_flood_without_end_is_survived_in_bounded_memory(profile: Profile) -> None:
    flood = {LineFraming: b"8" * 5000, EnclosedFraming: b"\x02" + b"8" * 5000, LeadFraming: b"=" * 5000}
    framer = framer_for(profile)
    framer.feed(b"\r\n")
    for _ in range(200):
        assert framer.feed(flood[type(profile.framing)]) == []
        held = sum(sys.getsizeof(value) for value in vars(framer).values() if isinstance(value, bytes))
        assert held < 500
    assert len(framer.feed(b"\r\n" + stream(profile))) >= len(WEIGHTS) - 1
    assert framer.spoiled_count > 0


@given(st.sampled_from(list(PROFILES.values())), st.lists(st.binary(max_size=300), max_size=20))
def test_any_bytes_are_survived(profile: Profile, pieces: list[bytes]) -> None:
    receiver = Receiver(profile, "port", HandClock())
    for second, piece in enumerate(pieces):
        receiver.feed(piece, 1000.0 + second / 10)
    assert len(receiver.recent()) <= 64


@pytest.mark.parametrize(
    "rates",
    [
        FaultRates(garbage=0.3),
        FaultRates(truncated=0.3),
        FaultRates(merged=0.3),
        FaultRates(lost=0.3),
        FaultRates(duplicated=0.3),
        FaultRates(parity=1.0),
    ],
    ids=lambda rates: next(name for name in rates.__slots__ if getattr(rates, name)),
)
@pytest.mark.parametrize(
    "name", ["header-token-line", "sign-first-columns", "enclosed-with-check", "polled-line"]
)
def test_a_bad_line_of_fixed_columns_makes_no_wrong_weight(name: str, rates: FaultRates) -> None:
    profile = PROFILES[name]
    line = FaultyLine(rates, seed=3)
    data = b"".join(line(encode(shown, profile)) for shown in WEIGHTS * 5)
    found = counts(data, profile)
    assert set(found) <= {shown.count for shown in WEIGHTS}
    assert len(found) > len(WEIGHTS) * 5 / 3


@given(st.sampled_from(list(PROFILES.values())), st.integers(0, 10**6))
def test_no_bad_line_makes_a_wrong_steady_weight(profile: Profile, seed: int) -> None:
    rates = FaultRates(garbage=0.1, truncated=0.2, merged=0.1, lost=0.1, duplicated=0.1, parity=0.5)
    line = FaultyLine(rates, seed=seed)
    clock = HandClock()
    receiver = Receiver(profile, "port", clock)
    for _ in range(60):
        clock.now_s += 0.1
        receiver.feed(line(encode(WEIGHTS[0], profile)), clock.now_s)
        judged = steady(receiver.recent(), clock.now_s)
        assert judged.state != "steady" or judged.mass_mg == 12_300_000


def test_same_seed_spoils_the_same() -> None:
    rates = FaultRates(garbage=0.2, truncated=0.2, flipped=0.2, lost=0.1)
    lines = [FaultyLine(rates, seed=5) for _ in range(2)]
    frames = [encode(shown, PROFILES["polled-line"]) for shown in WEIGHTS]
    first, second = ([line(frame) for frame in frames] for line in lines)
    assert first == second != frames


def test_parity_in_bit_7_is_dropped() -> None:
    profile = PROFILES["value-unit-mark-line"]
    even = FaultyLine(FaultRates(parity=1.0))(stream(profile))
    assert even != stream(profile)
    assert counts(even, profile) == counts(stream(profile), profile)


def test_enclosed_frames() -> None:
    framer = framer_for(PROFILES["enclosed-with-check"])
    frame = b"\x02S+012.345k\x03<"
    assert framer.feed(b"noise" + frame[:5]) == []
    assert framer.is_mid_frame()
    # The start of the next frame ends a frame that was cut short.
    assert framer.feed(frame + frame[:-1]) == [frame]
    assert framer.spoiled_count == 1
    assert framer.feed(b"<") == [frame]
    assert not framer.is_mid_frame()


def test_a_start_byte_may_be_the_check() -> None:
    framer = framer_for(PROFILES["enclosed-with-check"])
    assert framer.feed(b"\x02ab\x03\x02\x02cd\x03\x03") == [b"\x02ab\x03\x02", b"\x02cd\x03\x03"]


def test_lead_frames_fall_into_step() -> None:
    framer = framer_for(PROFILES["lead-byte-columns"])
    assert framer.feed(b"2.345=  12.3=  12.346=  12") == [b"=  12.346"]
    assert framer.spoiled_count == 1
    assert framer.feed(b".347") == [b"=  12.347"]


def test_a_pause_inside_a_line_spoils_it() -> None:
    receiver = Receiver(PROFILES["value-unit-line"], "port", HandClock())
    receiver.feed(b"\n1", 1000.0)
    receiver.feed(b"2.345 kg\r\n12.346 kg\r\n", 1002.0)
    assert [reading.text for reading in receiver.recent()] == ["12.346 kg"]
    assert receiver.status().bad_count == 1
