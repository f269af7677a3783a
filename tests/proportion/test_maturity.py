"""Rates, maturity, equivalent age, working time."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.proportion.error import ProportionError
from mixstation.proportion.maturity import (
    Rate,
    constant_rate_ratio,
    energy_rate_ratio,
    equivalent_age_h,
    nurse_saul_c_h,
    working_minutes_band,
)

BOTH = pytest.mark.parametrize("rate", [energy_rate_ratio, constant_rate_ratio])


@BOTH
def test_the_rate_is_one_at_twenty(rate: Rate) -> None:
    assert rate(20) == 1


@BOTH
@given(temperature_c=st.floats(-9, 78))
def test_warmer_is_faster(rate: Rate, temperature_c: float) -> None:
    assert rate(temperature_c + 1) > rate(temperature_c)


def test_the_energy_has_no_step_at_twenty() -> None:
    assert energy_rate_ratio(20 - 1e-6) == pytest.approx(energy_rate_ratio(20 + 1e-6), abs=1e-6)


@BOTH
@given(hours_h=st.floats(0.1, 100), temperature_c=st.floats(0, 50))
def test_a_steady_history_is_hours_times_rate(rate: Rate, hours_h: float, temperature_c: float) -> None:
    history = [(0, temperature_c), (hours_h / 2, temperature_c), (hours_h, temperature_c)]
    assert equivalent_age_h(history, rate=rate) == pytest.approx(hours_h * rate(temperature_c))


def test_cold_below_the_datum_takes_nothing_back() -> None:
    assert nurse_saul_c_h([(0, -5), (10, -5), (20, 15)], datum_c=0) == 50


@pytest.mark.parametrize("history", [[], [(0, 20)]])
def test_a_history_without_an_interval_has_no_age(history: list[tuple[float, float]]) -> None:
    assert equivalent_age_h(history) == 0
    assert nurse_saul_c_h(history, datum_c=0) == 0


@pytest.mark.parametrize(
    ("history", "code"),
    [
        ([(0, 20), (0, 21)], "hours-not-rising"),
        ([(2, 20), (1, 20)], "hours-not-rising"),
        ([(-1, 20), (1, 20)], "negative"),
        ([(0, 20), (1, 81)], "out-of-range"),
        ([(0, float("nan"))], "not-finite"),
    ],
)
def test_a_spoilt_history_is_refused(history: list[tuple[float, float]], code: str) -> None:
    with pytest.raises(ProportionError) as caught:
        equivalent_age_h(history)
    assert caught.value.why.code == code


@given(mix_c=st.floats(5, 40))
def test_the_band_holds_both_forms_and_the_workshop_rule(mix_c: float) -> None:
    """Common practice, no source: working time halves for each 11 °C warmer."""
    low, high = working_minutes_band(30, 20, mix_c)
    for minutes in (
        30 / energy_rate_ratio(mix_c),
        30 / constant_rate_ratio(mix_c),
        30 * 0.5 ** ((mix_c - 20) / 11),
    ):
        assert low <= minutes <= high


def test_at_the_labels_own_temperature_only_the_spread_is_left() -> None:
    assert working_minutes_band(30, 23, 23) == pytest.approx((24, 36))
