"""Logs of temperatures: read as they are meant, or refused with the line."""

from datetime import datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.plan.temperature_log import read_log, since
from mixstation.toml.lines import FileRefused


def faults(text: str) -> list[tuple[int, str]]:
    with pytest.raises(FileRefused) as caught:
        read_log(text, "log.csv")
    return [(fault.line, fault.code) for fault in caught.value.faults]


def test_by_the_clock_in_celsius() -> None:
    log = read_log("time,°C\n2026-11-30 14:05,20\n\n2026-11-30 15:35:30,22.5\n", "log.csv")
    assert log.began == datetime(2026, 11, 30, 14, 5)  # noqa: DTZ001 - a log has no zone
    assert log.history == ((0.0, 20.0), (pytest.approx(1.508333, abs=1e-6), 22.5))


def test_by_hours_in_fahrenheit_with_a_decimal_comma() -> None:
    log = read_log("Hours;Temperature (°F)\n2;77\n2,5;68,0\n", "log.csv")
    assert log.began is None
    assert log.history == ((0.0, 25.0), (0.5, 20.0))


@pytest.mark.parametrize("header", ["time\tcelsius", "Time;temp_C", '"time",F', "h,shop [°C]"])
def test_headers_as_loggers_write_them(header: str) -> None:
    first, second = ("0", "1") if header.startswith("h") else ("2026-11-30T10:00", "2026-11-30T11:00")
    mark = next(mark for mark in "\t;," if mark in header)
    assert len(read_log(f"{header}\n{first}{mark}50\n{second}{mark}50\n", "log.csv").history) == 2


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", [(0, "cure-header")]),
        ("time,temperature\n", [(1, "cure-header")]),
        ("when,°C\n", [(1, "cure-header")]),
        ("time\n", [(1, "cure-header")]),
        ("time,°C\n2026-11-30 10:00,20\n", [(0, "cure-short")]),
        ("hours,°C\n0,20\n1\n2,20,3\n", [(3, "cure-row"), (4, "cure-row")]),
        ("time,°C\n30.11.26,20\n3.5,20\n", [(2, "cure-time"), (3, "cure-time")]),
        ("hours,°C\n-1,20\nnan,20\n", [(2, "cure-time"), (3, "cure-time")]),
        ("hours,°C\n0,warm\n1,1e1\n2,20 kg\n", [(n, "cure-temperature") for n in (2, 3, 4)]),
        ("hours,°C\n0,-10.1\n1,80.1\n", [(2, "cure-range"), (3, "cure-range")]),
        ("time,°C\n2026-11-30 10:00,20\n2026-11-30 11:00Z,20\n", [(3, "cure-zone")]),
        ("hours,°C\n0,20\n0,20\n", [(3, "cure-order")]),
        ("hours,°C\n0,20\n8785,20\n", [(3, "cure-long")]),
    ],
)
def test_what_cannot_be_read_is_named_with_its_line(text: str, expected: list[tuple[int, str]]) -> None:
    assert faults(text) == expected


def test_hours_pass_the_same_where_the_zone_changes() -> None:
    log = read_log("time,°C\n2026-03-29 00:30+01:00,20\n2026-03-29 03:30+02:00,20\n", "log.csv")
    assert log.history[-1][0] == 2


@pytest.mark.parametrize("zone", ["Z", "+00:00"])
def test_a_loggers_own_zone_counts_against_the_batchs(zone: str) -> None:
    """Closed at 10:00 in a shop five hours behind UTC, where it was 15:00."""
    closed = datetime(2026, 11, 30, 10, 0, tzinfo=timezone(timedelta(hours=-5)))
    text = f"time,°C\n2026-11-30 14:00{zone},20\n2026-11-30 16:00{zone},20\n2026-11-30 18:00{zone},20\n"
    assert since(read_log(text, "log.csv"), closed, "log.csv").history == (
        (0.0, 20.0),
        (1.0, 20.0),
        (3.0, 20.0),
    )


def test_times_without_a_zone_are_of_the_batchs_place() -> None:
    closed = datetime(2026, 11, 30, 10, 0, tzinfo=timezone(timedelta(hours=-5)))
    log = read_log("time,°C\n2026-11-30 10:00,20\n2026-11-30 13:00,20\n", "log.csv")
    assert since(log, closed, "log.csv").history == ((0.0, 20.0), (3.0, 20.0))


def test_no_more_than_twenty_faults_are_told() -> None:
    assert len(faults("hours,°C\n" + "x,20\n" * 500)) == 20


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        log = read_log(f"hours,°C\n{text}", "log.csv")
    except FileRefused:
        return
    assert len(log.history) >= 2
    assert all(-10 <= reading_c <= 80 for _, reading_c in log.history)
