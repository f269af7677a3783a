"""Printed quantities other than masses."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.units import parse, show
from mixstation.units.quantity import read_quantity
from mixstation.units.show import DisplayUnits

METRIC, US = DisplayUnits.METRIC, DisplayUnits.US
fractions = st.fractions(min_value=-100_000, max_value=100_000)


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        (Fraction(1, 8), 2, "0.12"),
        (Fraction(3, 8), 2, "0.38"),
        (Fraction(-1, 1000), 2, "0.00"),
        (Fraction(-5, 2), 0, "-2"),
        (Fraction(-1, 20), 2, "-0.05"),
        (0.5, 0, "0"),
        (1, 3, "1.000"),
    ],
)
def test_fixed(value: float | Fraction, places: int, text: str) -> None:
    assert show.fixed(value, places) == text


@pytest.mark.parametrize(
    ("volume_ml", "units", "text"),
    [
        (850, METRIC, "850 mL"),
        (Fraction(25, 2), METRIC, "12.5 mL"),
        (Fraction("999.96"), METRIC, "1 L"),
        (1250, METRIC, "1.25 L"),
        (20_000, METRIC, "20 L"),
        (Fraction("3785.411784"), US, "1 US gal"),
        (Fraction("1892.705892"), DisplayUnits.US_POUND_OUNCE, "0.5 US gal"),
        (100, US, "3.38 US fl oz"),
    ],
)
def test_volumes(volume_ml: Fraction | int, units: DisplayUnits, text: str) -> None:
    assert show.show_volume_ml(volume_ml, units) == text


@pytest.mark.parametrize(
    ("length_mm", "units", "text"),
    [
        (600, METRIC, "600 mm"),
        (Fraction("9.525"), METRIC, "9.5 mm"),
        (Fraction("9.525"), US, "3/8 in"),
        (Fraction("-34.925"), US, "-1 3/8 in"),
        (Fraction("60.325"), US, "2 3/8 in"),
        (Fraction("50.8"), US, "2 in"),
        (3, US, "0.12 in"),
        (600, US, "23.62 in"),
    ],
)
def test_lengths(length_mm: Fraction | int, units: DisplayUnits, text: str) -> None:
    assert show.show_length_mm(length_mm, units) == text


@pytest.mark.parametrize(
    ("temperature_c", "units", "text"),
    [
        (23.5, METRIC, "23.5 °C"),
        (-0.01, METRIC, "0 °C"),
        (25, US, "77 °F"),
        (-20, US, "-4 °F"),
        (21.3, US, "70.3 °F"),
    ],
)
def test_temperatures(temperature_c: float, units: DisplayUnits, text: str) -> None:
    assert show.show_temperature_c(temperature_c, units) == text


def test_ratios_and_percentages() -> None:
    assert show.show_ratio(Fraction(17, 50)) == "0.340"
    assert show.show_ratio(Fraction(1, 3), places=2) == "0.33"
    assert show.show_percent(Fraction(4, 5)) == "80 %"
    assert show.show_percent(Fraction(1, 3)) == "33.3 %"
    assert show.show_percent(0.025) == "2.5 %"


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (0, "0:00"),
        (9.99, "0:09"),
        (247, "4:07"),
        (3599, "59:59"),
        (3600, "1:00:00"),
        (3750, "1:02:30"),
        (-5, "-0:05"),
        (-0.5, "0:00"),
        (90_000, "25:00:00"),
    ],
)
def test_clock(seconds: float, text: str) -> None:
    assert show.show_clock(seconds) == text


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (0, "0 s"),
        (20, "20 s"),
        (150, "2 min 30 s"),
        (3600, "1 h"),
        (3620, "1 h 20 s"),
        (90_000, "1 d 1 h"),
        (59.5, "1 min"),
        (60.5, "1 min"),
        (-90, "-1 min 30 s"),
    ],
)
def test_duration(seconds: float, text: str) -> None:
    assert show.show_duration(seconds) == text


@given(st.fractions(min_value=-1_000_000, max_value=1_000_000), st.sampled_from(DisplayUnits))
def test_volumes_read_back(volume_ml: Fraction, units: DisplayUnits) -> None:
    read = parse.parse_volume_ml(show.show_volume_ml(volume_ml, units))
    last_decimal_ml = Fraction(1) if units is METRIC else Fraction("3.785411784")
    assert abs(read - volume_ml) <= last_decimal_ml / 2


@given(fractions, st.sampled_from(DisplayUnits))
def test_lengths_read_back(length_mm: Fraction, units: DisplayUnits) -> None:
    read = parse.parse_length_mm(show.show_length_mm(length_mm, units))
    assert abs(read - length_mm) <= (Fraction(1, 20) if units is METRIC else Fraction("0.127"))


@given(st.integers(-64_000, 64_000))
def test_sixteenths_read_back_exactly(count: int) -> None:
    length_mm = count * Fraction("1.5875")
    assert parse.parse_length_mm(show.show_length_mm(length_mm, US)) == length_mm


@given(fractions, st.sampled_from(DisplayUnits))
def test_temperatures_read_back(temperature_c: Fraction, units: DisplayUnits) -> None:
    read = parse.parse_temperature_c(show.show_temperature_c(temperature_c, units))
    assert abs(read - temperature_c) <= Fraction(1, 20)


@given(st.fractions(min_value=-100, max_value=100))
def test_shares_read_back(share: Fraction) -> None:
    assert abs(parse.parse_fraction(show.show_percent(share)) - share) <= Fraction(1, 2000)
    assert abs(parse.parse_fraction(show.show_ratio(share)) - share) <= Fraction(1, 2000)


@given(st.integers(-10_000_000, 10_000_000))
def test_durations_read_back(seconds: int) -> None:
    assert read_quantity(show.show_duration(seconds), "time", None) == seconds
