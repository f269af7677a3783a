"""When a piece may be stripped, from the temperatures beside it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.plan.curing import STRIP_H, curing


def steady(reading_c: float, hours: int = 72) -> list[tuple[float, float]]:
    return [(float(hour), reading_c) for hour in range(hours + 1)]


def test_at_20_degrees_it_takes_a_day() -> None:
    found = curing(steady(20))
    assert found.strip_h == pytest.approx(24)
    assert found.age_h == pytest.approx((72, 72))
    assert found.maturity_c_h == pytest.approx((72 * 20, 72 * 30))
    assert found.left_h == 0


def test_no_warmth_makes_it_less_than_a_day() -> None:
    assert curing(steady(30)).strip_h == pytest.approx(24)


def test_in_the_cold_the_slowest_measure_decides() -> None:
    """At 10 °C: 24/0.4974 = 48.3 h by one rate, 24/0.5472 = 43.9 by the other, 480/10 = 48, 720/20 = 36."""
    assert curing(steady(10)).strip_h == pytest.approx(48.25, abs=0.05)
    short = curing(steady(10, hours=20))
    assert short.strip_h is None
    assert short.left_h == pytest.approx(48.25 - 20, abs=0.05)


def test_below_freezing_nothing_comes_of_waiting() -> None:
    found = curing(steady(-2, hours=12))
    assert (found.strip_h, found.left_h, found.film_cold) == (None, None, True)


@given(st.lists(st.floats(1, 40), min_size=30, max_size=60))
def test_more_readings_never_make_it_later(temperatures: list[float]) -> None:
    history = [(float(hour), reading_c) for hour, reading_c in enumerate(temperatures)]
    whole, most = curing(history), curing(history[:-1])
    if most.strip_h is not None:
        assert whole.strip_h == pytest.approx(most.strip_h)
    if whole.strip_h is not None:
        assert STRIP_H <= whole.strip_h <= history[-1][0]
