"""Frames into what they say, and back."""

from dataclasses import replace
from functools import cache

import pint
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from mixstation.scale.decode import Refusal, decode, encode, weigh
from mixstation.scale.fields import (
    CheckField,
    ChoiceField,
    LiteralField,
    Meaning,
    NumberField,
    Shown,
    Unsayable,
)
from mixstation.scale.profile import Profile
from mixstation.scale.profile_file import frames_of

from .conftest import PROFILES

shown_weights = st.builds(
    Shown,
    count=st.integers(-9_999_999, 9_999_999),
    decimals=st.integers(0, 4),
    unit=st.sampled_from(["kg", "g", "lb", "oz"]),
    motion=st.sampled_from(["steady", "moving"]),
    tare_mark=st.sampled_from(["net", "gross"]),
)
shown_faults = st.builds(
    Shown,
    count=st.none(),
    decimals=st.integers(0, 4),
    unit=st.sampled_from(["kg", "g", "lb", "oz"]),
    motion=st.sampled_from(["steady", "moving"]),
    fault=st.sampled_from(["overload", "underload", "error"]),
)
profiles = st.sampled_from(list(PROFILES.values()))


@cache
def registry() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry()


def sent(shown: Shown, profile: Profile) -> bytes:
    try:
        return encode(shown, profile)
    except Unsayable:
        assume(False)
        raise


@given(shown_weights, profiles)
def test_what_is_encoded_is_decoded(shown: Shown, profile: Profile) -> None:
    (frame,) = frames_of(sent(shown, profile), profile)
    back = decode(frame, profile)
    assert isinstance(back, Shown)
    assert (back.count, back.decimals, back.unit) == (shown.count, shown.decimals, shown.unit)
    assert back.motion in (shown.motion, "unsaid")
    assert back.tare_mark in (shown.tare_mark, "unsaid")


@given(shown_faults, profiles)
def test_a_fault_is_never_a_weight(shown: Shown, profile: Profile) -> None:
    (frame,) = frames_of(sent(shown, profile), profile)
    back = decode(frame, profile)
    assert isinstance(back, Shown)
    assert (back.fault, back.count) == (shown.fault, None)


@pytest.mark.parametrize("name", PROFILES)
def test_every_profile_can_say_steps_of_a_bench_scale(name: str) -> None:
    profile = PROFILES[name]
    for count in (0, 1, -82, 12_345, 29_999):
        encode(Shown(count=count, decimals=3, unit="kg", motion="moving", tare_mark="gross"), profile)


@pytest.mark.parametrize("name", PROFILES)
def test_samples_are_written_as_they_are_read(name: str) -> None:
    profile = PROFILES[name]
    for _, shown in profile.samples:
        (frame,) = frames_of(encode(shown, profile), profile)
        back = decode(frame, profile)
        # One token may have to serve for a fault and for movement; then the fault is what is said.
        assert back == shown if shown.fault is None else isinstance(back, Shown) and back.fault == shown.fault


@given(st.binary(max_size=60), profiles)
def test_any_bytes_are_read_or_refused(frame: bytes, profile: Profile) -> None:
    result = decode(frame, profile)
    if isinstance(result, Refusal):
        assert 0 <= result.at <= len(frame)
        assert 0 <= result.field <= len(profile.fields)
    else:
        assert (result.count is None) == (result.fault is not None)


@given(shown_weights, profiles, st.data())
def test_a_frame_cut_short_is_refused_where_its_end_is_marked(
    shown: Shown, profile: Profile, data: st.DataObject
) -> None:
    (frame,) = frames_of(sent(shown, profile), profile)
    cut = frame[: data.draw(st.integers(0, len(frame) - 1))]
    result = decode(cut, profile)
    # Padding at the end of a frame carries nothing; losing it loses no weight.
    same_but_padding = isinstance(result, Shown) and cut.rstrip(b" ") == frame.rstrip(b" ")
    assert isinstance(result, Refusal) or same_but_padding


@given(shown_weights, st.integers(0, 12), st.integers(0, 6))
def test_a_turned_bit_never_passes_the_check(shown: Shown, place: int, bit: int) -> None:
    profile = PROFILES["enclosed-with-check"]
    frame = sent(shown, profile)
    assume(place < len(frame))
    spoiled = frame[:place] + bytes([frame[place] ^ 1 << bit]) + frame[place + 1 :]
    assert isinstance(decode(spoiled, profile), Refusal)


@pytest.mark.parametrize("name", [name for name in PROFILES if name != "lead-byte-columns"])
def test_two_frames_run_together_are_refused(name: str) -> None:
    profile = PROFILES[name]
    frame = encode(Shown(count=12_345, decimals=3, unit="kg", motion="steady", tare_mark="gross"), profile)
    bare = frame.rstrip(b"\r\n")
    assert isinstance(decode(bare + bare, profile), Refusal)


@given(st.integers(-9_999_999, 9_999_999), st.integers(0, 4), st.sampled_from(["kg", "g", "lb", "oz"]))
def test_masses_agree_with_pint(count: int, decimals: int, unit: str) -> None:
    # Outside check: pint's own table of units (float arithmetic, hence half a milligram and its rounding).
    mass_mg, division_mg = weigh(Shown(count=count, decimals=decimals, unit=unit), {})
    assert mass_mg is not None
    expected_mg = (count / 10**decimals * registry()(unit)).to("mg").magnitude
    assert mass_mg == pytest.approx(expected_mg, rel=1e-12, abs=0.5001)
    assert division_mg == pytest.approx(
        max(1, (10.0**-decimals * registry()(unit)).to("mg").magnitude), abs=0.5001
    )


def test_pound_is_exact_to_the_milligram() -> None:
    # NIST SP 811 (2008), B.8: 1 lb = 453.592 37 g exactly.
    assert weigh(Shown(count=100, decimals=0, unit="lb"), {}) == (45_359_237, 453_592)


def test_division_counts_in_steps_of_the_last_digit() -> None:
    assert weigh(Shown(count=12_345, decimals=3, unit="kg"), {"kg": 5, "lb": 2}) == (12_345_000, 5_000)
    assert weigh(Shown(count=None, decimals=2, unit="lb", fault="error"), {"lb": 2}) == (None, 9_072)


class TestNumber:
    def shown(self, field: NumberField, text: str) -> tuple[int | None, int] | str:
        profile = replace(PROFILES["value-unit-line"], fields=(field,), unit="kg")
        result = decode(text.encode("latin-1"), profile)
        return result.code if isinstance(result, Refusal) else (result.count, result.decimals)

    @pytest.mark.parametrize(
        ("text", "expected"),
        [
            ("12.345", (12_345, 3)),
            ("12", (12, 0)),
            ("-0.5", (-5, 1)),
            ("- 0.5", (-5, 1)),
            ("+7", (7, 0)),
            ("0000012.5", (125, 1)),
            ("", "number-unreadable"),
            ("-", "number-unreadable"),
            (".5", "number-unreadable"),
            ("5.", "number-unreadable"),
            ("1.2.3", "number-unreadable"),
            ("12,5", "left-over"),
            ("1_000", "left-over"),
            ("1e5", "left-over"),
            ("\xb2", "number-unreadable"),
            ("nan", "number-unreadable"),
            ("12345678", "number-too-long"),
            ("0.1234567", "number-too-long"),
        ],
    )
    def test_free_width(self, text: str, expected: object) -> None:
        assert self.shown(NumberField(signed=True, instead={}), text) == expected

    @pytest.mark.parametrize(
        ("text", "expected"),
        [
            ("  12.345", (12_345, 3)),
            ("12.345  ", (12_345, 3)),
            ("-  0.082", (-82, 3)),
            ("  -0.082", (-82, 3)),
            ("     12.", (12, 0)),
            ("  1 2.34", "number-unreadable"),
            ("        ", "number-unreadable"),
            ("  12.34", "too-short"),
            ("  12.345 ", "left-over"),
        ],
    )
    def test_fixed_width(self, text: str, expected: object) -> None:
        assert self.shown(NumberField(width=8, signed=True, instead={}), text) == expected

    def test_mark_not_sent(self) -> None:
        field = NumberField(width=6, decimal_mark="none", decimals=3, pad="0", instead={})
        assert self.shown(field, "012345") == (12_345, 3)
        assert self.shown(field, "12.345") == "number-unreadable"

    def test_unsigned_number_has_no_sign(self) -> None:
        assert self.shown(NumberField(width=6, instead={}), "  -1.5") == "number-unreadable"


class TestCheck:
    # Worked by hand: "12" is 0x31, 0x32; XOR 0x03, sum 0x63, negated sum 0x9D.
    @pytest.mark.parametrize(("method", "expected"), [("xor", "03"), ("sum", "63"), ("negated-sum", "9D")])
    def test_sums(self, method: str, expected: str) -> None:
        fields = (
            LiteralField(text=":"),
            NumberField(width=2, instead={}),
            CheckField(method=method, form="hex", first=1),  # type: ignore[arg-type]
        )
        profile = replace(PROFILES["value-unit-line"], fields=fields, unit="kg")
        assert decode(f":12{expected}".encode(), profile) == Shown(count=12, decimals=0, unit="kg")
        assert decode(f":12{expected.lower()}".encode(), profile) == Shown(count=12, decimals=0, unit="kg")
        assert decode(b":12FF", profile) == Refusal(code="check-differs", at=3, field=2)
        assert decode(b":12", profile) == Refusal(code="too-short", at=3, field=2)

    def test_seven_bits(self) -> None:
        check = CheckField(method="negated-sum", form="byte", seven_bits=True)
        profile = replace(
            PROFILES["value-unit-line"], fields=(NumberField(width=2, instead={}), check), unit="kg"
        )
        assert decode(b"12\x1d", profile) == Shown(count=12, decimals=0, unit="kg")


def test_longest_text_of_a_choice_is_taken() -> None:
    choice = ChoiceField(of={"S": Meaning(motion="steady"), "SM": Meaning(motion="moving"), "": Meaning()})
    profile = replace(PROFILES["value-unit-line"], fields=(choice, NumberField(instead={})), unit="kg")
    motions = [decode(text, profile) for text in (b"S5", b"SM5", b"5")]
    assert [result.motion for result in motions if isinstance(result, Shown)] == [
        "steady",
        "moving",
        "unsaid",
    ]


def test_moving_once_said_stays_said() -> None:
    mark = ChoiceField(of={"S": Meaning(motion="steady"), "M": Meaning(motion="moving")})
    profile = replace(PROFILES["value-unit-line"], fields=(mark, NumberField(instead={}), mark), unit="kg")
    result = decode(b"M5S", profile)
    assert isinstance(result, Shown)
    assert result.motion == "moving"


@pytest.mark.parametrize(
    "shown",
    [
        Shown(count=123_456_789, decimals=3, unit="kg", motion="steady"),
        Shown(count=1, decimals=3, unit="oz", motion="steady", fault=None),
        Shown(count=None, decimals=3, unit="kg", motion="steady", fault="error"),
    ],
)
def test_what_the_frame_cannot_show_is_not_sent(shown: Shown) -> None:
    with pytest.raises(Unsayable):
        encode(shown, PROFILES["lead-byte-columns"])
