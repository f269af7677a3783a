"""Printed masses and the scale's divisions."""

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from mixstation.units.parse import parse_mass_mg
from mixstation.units.show import DisplayUnits
from mixstation.units.show_mass import (
    MassShown,
    default_mass_unit,
    show_mass,
    show_mass_in,
    show_mass_parts,
)
from mixstation.units.tables import UNITS_BY_KEY

METRIC, US, POUND_OUNCE = DisplayUnits
# Metric divisions, and those of 0.1, 0.05, 0.01, 0.005, 0.002, 0.001 and 0.0005 lb and 0.1 oz in whole milligrams.
DIVISIONS_MG = (1, 10, 100, 500, 1_000, 2_000, 5_000, 10_000, 20_000, 50_000, 100_000)
POUND_DIVISIONS_MG = (45_359, 22_680, 4_536, 2_268, 907, 454, 227, 2_835)


@pytest.mark.parametrize(
    ("mass_mg", "units", "division_mg", "text"),
    [
        (850_000, METRIC, 1_000, "850 g"),
        (850_400, METRIC, 1_000, "850 g"),
        (850_400, METRIC, 100, "850.4 g"),
        (2_447, METRIC, 10, "2.45 g"),
        (2_445, METRIC, 10, "2.44 g"),
        (999_600, METRIC, 1_000, "1.000 kg"),
        (999_400, METRIC, 1_000, "999 g"),
        (6_400_000, METRIC, 1_000, "6.400 kg"),
        (6_400_000, METRIC, 5_000, "6.400 kg"),
        (6_400_000, METRIC, 20_000, "6.40 kg"),
        (6_400_000, METRIC, 100_000, "6.4 kg"),
        (6_400_000, METRIC, 1_000_000, "6 kg"),
        (-200_000, METRIC, 1_000, "-200 g"),
        (-400, METRIC, 1_000, "0 g"),
        (0, METRIC, 1_000, "0 g"),
        (6_400_000, METRIC, None, "6.4 kg"),
        (25_000_000, METRIC, None, "25 kg"),
        (2_447, METRIC, None, "2.447 g"),
        (123_456, METRIC, None, "123.5 g"),
        (2_902_991, US, 4_536, "6.40 lb"),
        (2_902_991, US, 45_359, "6.4 lb"),
        (2_902_991, US, None, "6.4 lb"),
        (2_902_991, US, 1_000, "6.400 lb"),
        (1_006_408, POUND_OUNCE, 2_835, "2 lb 3.5 oz"),
        (1_006_408, POUND_OUNCE, None, "2 lb 3.5 oz"),
        (99_223, POUND_OUNCE, 2_835, "3.5 oz"),
        (453_500, POUND_OUNCE, 2_835, "1 lb 0.0 oz"),
        (453_592, POUND_OUNCE, None, "1 lb 0 oz"),
        (-992_233, POUND_OUNCE, None, "-2 lb 3 oz"),
    ],
)
def test_masses(mass_mg: int, units: DisplayUnits, division_mg: int | None, text: str) -> None:
    assert show_mass(mass_mg, units, division_mg) == text


@pytest.mark.parametrize(
    ("division_mg", "places"),
    [
        (45_359, 1),
        (22_680, 2),
        (4_536, 2),
        (2_268, 3),
        (907, 3),
        (454, 3),
        (227, 4),
        (Fraction("4535.9237"), 2),
    ],
)
def test_divisions_in_pounds_keep_their_decimals(division_mg: int | Fraction, places: int) -> None:
    assert len(show_mass(5_000_000, US, division_mg).split(" ")[0].partition(".")[2]) == places


def test_parts_for_the_big_digits() -> None:
    assert show_mass_parts(6_400_000, METRIC, 1_000) == MassShown(
        number="6.400", unit="kg", unit_word="kilograms"
    )
    assert show_mass_parts(2_902_991, US, 4_536) == MassShown(number="6.40", unit="lb", unit_word="pounds")
    assert show_mass_parts(1_006_408, POUND_OUNCE, 2_835).unit_word == "pounds and ounces"
    assert show_mass_parts(99_223, POUND_OUNCE, 2_835).unit_word == "ounces"
    assert show_mass_in(850_000, "kg", 1_000).number == "0.850"


@given(
    st.integers(-200_000_000, 200_000_000),
    st.sampled_from(DisplayUnits),
    st.sampled_from((None, *DIVISIONS_MG, *POUND_DIVISIONS_MG)),
)
def test_masses_read_back_within_half_a_division(
    mass_mg: int, units: DisplayUnits, division_mg: int | None
) -> None:
    free_mg = 1_000 if abs(mass_mg) >= 1_000_000 else 100 if abs(mass_mg) >= 10_000 else 1
    allowed_mg = Fraction(division_mg or free_mg, 2) + 1
    shown = show_mass(mass_mg, units, division_mg)
    assert abs(parse_mass_mg(shown) - mass_mg) <= allowed_mg


@given(st.integers(0, 200_000_000), st.sampled_from(DisplayUnits), st.sampled_from(DIVISIONS_MG))
def test_no_digit_is_finer_than_a_tenth_of_the_division(
    mass_mg: int, units: DisplayUnits, division_mg: int
) -> None:
    shown = show_mass_parts(mass_mg, units, division_mg)
    assume(shown.unit)
    places = len(shown.number.partition(".")[2])
    last_digit_mg = UNITS_BY_KEY[shown.unit].factor / 10**places
    assert places == 0 or last_digit_mg * 10 > division_mg


@given(st.integers(1, 40), st.sampled_from((1_000, 2_000, 5_000)))
def test_a_bare_number_is_read_in_the_unit_on_screen(count: int, division_mg: int) -> None:
    target_mg = count * 73_000
    shown = show_mass_parts(target_mg, METRIC, division_mg)
    unit = default_mass_unit(METRIC, target_mg, division_mg)
    assert parse_mass_mg(shown.number, unit) == target_mg


def test_default_units() -> None:
    assert default_mass_unit(METRIC) == "kg"
    assert default_mass_unit(US) == "lb"
    assert default_mass_unit(POUND_OUNCE) == "lb"
    assert default_mass_unit(METRIC, 999_600, 1_000) == "kg"
    assert default_mass_unit(POUND_OUNCE, 99_223, 2_835) == "oz"
    assert default_mass_unit(POUND_OUNCE, 1_006_408, 2_835) == "lb"
