"""Masses keep every digit, deviations their sign, and stamps no calendar has do no harm."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.account.say import day, exact_mass, local, plain, signed, when
from mixstation.batch.events import Stamp
from mixstation.units.parse import parse_mass_mg
from mixstation.units.show import DisplayUnits
from mixstation.wording.words import Speech


def stamp(utc_ms: int, offset_min: int = 0) -> Stamp:
    return Stamp(utc_ms=utc_ms, offset_min=offset_min, boot_ms=0, mono_ms=0, boot_id="", who="")


@given(
    mass_mg=st.integers(-(10**9), 10**12),
    division_mg=st.integers(0, 1_000_000),
    units=st.sampled_from(list(DisplayUnits)),
)
def test_a_mass_reads_back_to_the_milligram(mass_mg: int, division_mg: int, units: DisplayUnits) -> None:
    text = exact_mass(mass_mg, units, division_mg)
    metric = text if units is DisplayUnits.METRIC else text.partition(" (")[2].rstrip(")")
    assert parse_mass_mg(metric) == mass_mg


@pytest.mark.parametrize(
    ("mass_mg", "division_mg", "text"),
    [
        (6_400_000, 5_000, "6.400 kg"),
        (6_400_000, 1, "6.400000 kg"),
        (6_400_500, 1_000, "6.4005 kg"),
        (35_000, 10, "35.00 g"),
        (35_001, 1_000, "35.001 g"),
    ],
)
def test_digits_of_the_display_are_kept(mass_mg: int, division_mg: int, text: str) -> None:
    assert exact_mass(mass_mg, DisplayUnits.METRIC, division_mg) == text


def test_signs() -> None:
    say = Speech(units=DisplayUnits.METRIC, division_mg=1_000).mass
    assert [signed(amount, say) for amount in (12_000, -12_000, 0, 300, -300)] == [
        "+12 g", "-12 g", "0 g", "0 g", "0 g",
    ]  # fmt: skip


@given(utc_ms=st.integers(0, 4_000_000_000_000), offset_min=st.integers(-720, 840))
def test_when_says_the_same_moment(utc_ms: int, offset_min: int) -> None:
    text = when(stamp(utc_ms, offset_min))
    read = datetime.strptime(text, "%Y-%m-%d %H:%M:%S %z")
    assert int(read.timestamp()) == utc_ms // 1000


def test_midnight_on_the_way() -> None:
    late = stamp(int(datetime(2026, 3, 14, 23, 30, tzinfo=UTC).timestamp() * 1000))
    assert day(late, 48) == "2026-03-16 23:30"
    assert day(late, 0.75) == "2026-03-15 00:15"


@pytest.mark.parametrize("utc_ms", [10**18, -(10**18)])
@pytest.mark.parametrize("offset_min", [0, 10**6])
def test_no_calendar_has_it(utc_ms: int, offset_min: int) -> None:
    assert local(stamp(utc_ms, offset_min)) is None
    assert when(stamp(utc_ms, offset_min)) == ""
    assert when(None) == ""


def test_an_offset_no_zone_has_falls_back_to_utc() -> None:
    assert when(stamp(0, 10**6)) == "1970-01-01 00:00:00 +00:00"


def test_text_from_outside_is_one_clean_line() -> None:
    assert plain("a\r\n b\t\x1b[31mc\u202e") == "a b \ufffd[31mc\ufffd"
    assert len(plain("x" * 5_000)) == 2_000
