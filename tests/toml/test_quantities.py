"""Written values, each at its bounds and beyond them."""

from collections.abc import Callable
from datetime import date, datetime
from fractions import Fraction

import pytest

from mixstation.toml import quantities as q
from mixstation.toml.faults_of_files import NotOneOf


@pytest.mark.parametrize(
    ("read", "value", "expected"),
    [
        (q.count(1, 3), 1, 1),
        (q.count(1, 3), 3, 3),
        (q.line_bytes(3), "\x02ÿ", b"\x02\xff"),
        (q.day, date(2026, 3, 2), date(2026, 3, 2)),
        (q.day, " 2026-03-02 ", date(2026, 3, 2)),
        (q.true_or_false, False, False),
        (q.shown_mass_mg, "-1,234 kg", -1_234_000),
        (q.poll_interval_s, "10 s", 10),
        (q.tolerance, "-0 % +4 %", (0, Fraction(4, 100))),
    ],
)
def test_read(read: Callable[[object], object], value: object, expected: object) -> None:
    assert read(value) == expected


@pytest.mark.parametrize(
    ("read", "value", "code"),
    [
        (q.count(1, 3), 0, "out-of-range"),
        (q.count(1, 3), 4, "out-of-range"),
        (q.count(0, 1), True, "not-whole"),
        (q.count(1, 3), "2", "not-whole"),
        (q.count(1, 3), 2.0, "not-whole"),
        pytest.param(q.count(1, 3), 10**5_000, "out-of-range", id="too long to print"),
        (q.line_bytes(3), "", "empty"),
        (q.line_bytes(3), "abcd", "too-long"),
        (q.line_bytes(3), "€", "not-latin"),
        (q.day, datetime(2026, 3, 2), "day-form"),  # noqa: DTZ001 - as a file may hold it
        (q.day, "02.03.2026", "day-form"),
        (q.true_or_false, 1, "not-true-or-false"),
        (q.poll_interval_s, "0.01 s", "out-of-range"),
        (q.poll_interval_s, "11 s", "out-of-range"),
    ],
)
def test_refused(read: Callable[[object], object], value: object, code: str) -> None:
    with pytest.raises(q.QuantityError) as refused:
        read(value)
    assert refused.value.told.code == code


def test_what_cannot_be_printed_is_shown_as_it_is_written() -> None:
    with pytest.raises(q.QuantityError) as refused:
        q.one_of("\r\n", "\n")([1])
    assert refused.value.told == NotOneOf(found="a list", suggestion="", choices="\\r\\n, \\n")


def test_what_can_be_written_is_listed_to_its_end() -> None:
    choices = [f"choice-{number}" for number in range(20)]
    with pytest.raises(q.QuantityError) as refused:
        q.one_of(*choices)("none of them")
    told = refused.value.told
    assert isinstance(told, NotOneOf)
    assert told.choices == ", ".join(choices)
