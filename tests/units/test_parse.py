"""Typed quantities: what is read, what is asked, what is refused."""

from collections.abc import Callable
from fractions import Fraction
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.coded import Coded
from mixstation.units import errors, parse
from mixstation.units.clean import clean
from mixstation.units.errors import UnitsError, UnitsFault
from mixstation.units.plausible import read_plausible
from mixstation.units.quantity import read_quantity


def seconds_of(text: str) -> Fraction:
    return read_quantity(text, "time", None)


def density_of(text: str, default: str | None = None) -> Fraction:
    return read_quantity(text, "density", default)


def speed_of(text: str, default: str | None = None) -> Fraction:
    return read_quantity(text, "speed", default)


PARSERS: tuple[Callable[[str], Fraction | int], ...] = (
    parse.parse_mass_mg,
    parse.parse_volume_ml,
    parse.parse_length_mm,
    parse.parse_temperature_c,
    seconds_of,
    parse.parse_fraction,
    density_of,
    speed_of,
)


@pytest.mark.parametrize(
    ("text", "mass_mg"),
    [
        ("6,4 kg", 6_400_000),
        ("6.4kg", 6_400_000),
        ("6.4 KG", 6_400_000),
        ("6.4\u00a0kg", 6_400_000),
        ("850 g", 850_000),
        ("12 mg", 12),
        ("1.5 t", 1_500_000_000),
        ("-0,2 kg", -200_000),
        ("+3 g", 3_000),
        ("1 lb", 453_592),
        ("2 lb 3.5 oz", 1_006_408),
        (".4 kg", 400_000),
        (",4kg", 400_000),
        ("2lb3oz", 992_233),
        ("2 lbs. 3 oz.", 992_233),
        ("-2 lb 3 oz", -992_233),
        ("40 pounds", 18_143_695),
        ("3.5 oz", 99_223),
        ("0,0005 g", 0),
        ("0,0015 g", 2),
        ("0.0025 g", 2),
    ],
)
def test_masses(text: str, mass_mg: int) -> None:
    assert parse.parse_mass_mg(text) == mass_mg


@pytest.mark.parametrize(
    ("text", "default", "mass_mg"),
    [
        ("6,4", "kg", 6_400_000),
        (".4", "kg", 400_000),
        ("850", "g", 850_000),
        ("2", "lb", 907_185),
        ("8 oz", "kg", 226_796),
    ],
)
def test_a_bare_number_takes_the_default_unit(text: str, default: str, mass_mg: int) -> None:
    assert parse.parse_mass_mg(text, default) == mass_mg


@pytest.mark.parametrize(
    ("text", "volume_ml"),
    [
        ("1.5 L", Fraction(1500)),
        ("1,5 l", Fraction(1500)),
        ("20 cl", Fraction(200)),
        ("250 ML", Fraction(250)),
        ("3 US qt", Fraction("2839.058838")),
        ("1 us gallon", Fraction("3785.411784")),
        ("1 imp gal", Fraction("4546.09")),
        ("1 UK pint", Fraction("568.26125")),
        ("12 US fl. oz.", Fraction("354.88235475")),
        ("4 imp fl oz", Fraction("113.65225")),
        ("0.02 m3", Fraction(20000)),
        ("0.02m³", Fraction(20000)),
        ("1/3 ft3", Fraction("28316.846592") / 3),
    ],
)
def test_volumes(text: str, volume_ml: Fraction) -> None:
    assert parse.parse_volume_ml(text) == volume_ml


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("600 mm", Fraction(600)),
        ("60 cm", Fraction(600)),
        ("0,6 m", Fraction(600)),
        ("3/8 in", Fraction("9.525")),
        ('1 3/8"', Fraction("34.925")),
        ("2 ft 3 in", Fraction("685.8")),
        ("2ft3in", Fraction("685.8")),
        ("2' 3 1/2\"", Fraction("698.5")),
        ("2′3″", Fraction("685.8")),
        ("-3/8 in", Fraction("-9.525")),
        ("2.5 ft", Fraction(762)),
    ],
)
def test_lengths(text: str, length_mm: Fraction) -> None:
    assert parse.parse_length_mm(text) == length_mm


@pytest.mark.parametrize(
    ("text", "temperature_c"),
    [
        ("23.5 °C", Fraction("23.5")),
        ("23,5c", Fraction("23.5")),
        ("5 c", Fraction(5)),
        ("-4 °F", Fraction(-20)),
        ("77F", Fraction(25)),
        ("32 deg F", Fraction(0)),
    ],
)
def test_temperatures(text: str, temperature_c: Fraction) -> None:
    assert parse.parse_temperature_c(text) == temperature_c


@pytest.mark.parametrize(
    ("text", "time_s"),
    [
        ("20 s", Fraction(20)),
        ("1 min 30 s", Fraction(90)),
        ("1min30s", Fraction(90)),
        ("1.5 min", Fraction(90)),
        ("1 h 20 s", Fraction(3620)),
        ("1 d 2 h 3 min 4 s", Fraction(93784)),
        ("2 days", Fraction(172800)),
    ],
)
def test_times(text: str, time_s: Fraction) -> None:
    assert seconds_of(text) == time_s


@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("80 %", Fraction(4, 5)),
        ("80%", Fraction(4, 5)),
        ("0,34", Fraction(17, 50)),
        ("2.5 percent", Fraction(1, 40)),
        ("1/3", Fraction(1, 3)),
        ("1", Fraction(1)),
    ],
)
def test_shares(text: str, share: Fraction) -> None:
    assert parse.parse_fraction(text) == share


def test_densities_and_speeds() -> None:
    assert density_of("2120 kg/m³") == 2120
    assert density_of("2.65 g/cm3") == 2650
    assert density_of("1 lb/ft3") == Fraction(45359237, 100_000_000) / Fraction("0.028316846592")
    assert density_of("1,06", "g/mL") == 1060
    assert speed_of("10 mph") == Fraction("16.09344")
    assert speed_of("5 m/s") == 18
    assert speed_of("12", "km/h") == 12


def _hands_free(text: str) -> object:
    return read_plausible("hands-free time", text, "s")


REFUSED: tuple[tuple[Callable[[str], object], str, str, dict[str, str]], ...] = (
    (parse.parse_mass_mg, "", "empty", {}),
    (parse.parse_mass_mg, "\u00a0 ", "empty", {}),
    (parse.parse_mass_mg, "9" * 1001, "too-long", {"length_count": "1001", "limit_count": "1000"}),
    (parse.parse_mass_mg, "٨ kg", "bad-character", {"character": "٨"}),
    (parse.parse_mass_mg, "5² kg", "bad-character", {"character": "²"}),
    (parse.parse_mass_mg, "1_000 g", "bad-character", {"character": "_"}),
    (parse.parse_mass_mg, "5\tkg", "bad-character", {"character": "\ufffd"}),
    (parse.parse_mass_mg, "5 k\u202eg", "bad-character", {"found": "5 k\ufffdg"}),
    (parse.parse_mass_mg, "5 \u212ag", "bad-character", {}),
    (parse.parse_fraction, "1:3", "bad-character", {"character": ":"}),
    (parse.parse_mass_mg, "--5 kg", "bad-number", {}),
    (parse.parse_mass_mg, "nan", "bad-number", {}),
    (parse.parse_mass_mg, "kg", "bad-number", {}),
    (parse.parse_mass_mg, "+", "bad-number", {}),
    (parse.parse_mass_mg, "6,4,3 kg", "bad-number", {}),
    (parse.parse_mass_mg, "1 234 kg", "bad-number", {}),
    (parse.parse_mass_mg, "2 lb .5 oz", "bad-number", {}),
    (parse.parse_mass_mg, "2 lb.5 oz", "bad-number", {}),
    (parse.parse_mass_mg, "2 lb -3 oz", "bad-number", {}),
    (parse.parse_mass_mg, "3/8 lb", "bad-number", {}),
    (parse.parse_mass_mg, "1 g 1 g 1 g 1 g 1 g", "bad-number", {}),
    (
        parse.parse_mass_mg,
        "12345678 g",
        "too-many-digits",
        {"whole_limit_count": "7", "decimal_limit_count": "6"},
    ),
    (
        parse.parse_mass_mg,
        "1,234 kg",
        "ambiguous-thousands",
        {"found": "1,234", "as_decimal": "1.234", "as_thousands": "1234"},
    ),
    (parse.parse_length_mm, "11/2 in", "bad-fraction", {}),
    (parse.parse_mass_mg, "5", "unit-missing", {"wanted": "mass"}),
    (parse.parse_mass_mg, "2 lb 3", "unit-missing", {}),
    (parse.parse_volume_ml, "5 m 3", "wrong-dimension", {"dimension": "length"}),
    (parse.parse_mass_mg, "5 kq", "unknown-unit", {"unit": "kq", "suggestion": "kg"}),
    (parse.parse_mass_mg, "1e5", "unknown-unit", {"unit": "e"}),
    (parse.parse_mass_mg, "1e999999999 kg", "unknown-unit", {"unit": "e"}),
    (parse.parse_fraction, "1e999999999", "unknown-unit", {"unit": "e"}),
    (parse.parse_fraction, "1/" + "9" * 900, "bad-fraction", {}),
    (seconds_of, "9" * 900 + " s", "too-many-digits", {}),
    (parse.parse_mass_mg, "１２ kg", "bad-character", {}),
    (parse.parse_mass_mg, "1_0 kg", "bad-character", {}),
    (parse.parse_mass_mg, "5 zzzz", "unknown-unit", {"suggestion": "kg"}),
    (parse.parse_volume_ml, "2 galon", "unknown-unit", {"suggestion": "gallon"}),
    (speed_of, "5 km h", "unknown-unit", {"suggestion": "km/h"}),
    (parse.parse_mass_mg, "25 l", "wrong-dimension", {"dimension": "volume", "wanted": "mass", "unit": "l"}),
    (parse.parse_mass_mg, "5 c", "wrong-dimension", {"dimension": "temperature"}),
    (parse.parse_mass_mg, "2 gal", "wrong-dimension", {"dimension": "volume"}),
    (seconds_of, "2 m", "wrong-dimension", {"dimension": "length", "wanted": "time"}),
    (parse.parse_length_mm, "2 ft3", "wrong-dimension", {"dimension": "volume"}),
    (parse.parse_volume_ml, "2 gal", "which-gallon", {"unit": "gal", "choices": "US gal, imp gal"}),
    (parse.parse_volume_ml, "3 quarts", "which-gallon", {"choices": "US qt, imp qt"}),
    (parse.parse_volume_ml, "6 fl. oz", "which-gallon", {"choices": "US fl oz, imp fl oz"}),
    (parse.parse_volume_ml, "6 oz", "oz-is-mass-or-volume", {"choices": "US fl oz, imp fl oz, oz"}),
    (parse.parse_mass_mg, "1 ton", "which-ton", {"choices": "t, lb"}),
    (parse.parse_mass_mg, "3 oz 2 lb", "bad-compound", {"wanted": "mass"}),
    (parse.parse_mass_mg, "3 kg 2 oz", "bad-compound", {}),
    (parse.parse_mass_mg, "3 lb 2 lb", "bad-compound", {}),
    (parse.parse_temperature_c, "3 C 2 C", "bad-compound", {}),
    (parse.parse_mass_mg, "2.5 lb 3 oz", "not-whole", {"unit": "lb"}),
    (parse.parse_mass_mg, "2 lb 16 oz", "part-too-large", {"unit": "oz", "limit_count": "16"}),
    (_hands_free, "999999 h", "not-plausible", {"name": "hands-free time", "bounds": "≥ 0 s, ≤ 60 s"}),
    (seconds_of, "1 min 60 s", "part-too-large", {"unit": "s", "limit_count": "60"}),
)


@pytest.mark.parametrize(("read", "text", "code", "values"), REFUSED)
def test_refused(read: Callable[[str], object], text: str, code: str, values: dict[str, str]) -> None:
    with pytest.raises(UnitsError) as refused:
        read(text)
    assert refused.value.code == code
    assert values.items() <= refused.value.values.items()
    assert type(refused.value.fault) in get_args(UnitsFault)


def test_every_code_has_a_case_above() -> None:
    codes = [kind.code for kind in get_args(UnitsFault)]
    assert {code for _, _, code, _ in REFUSED} == set(codes)
    assert len(codes) == len(set(codes))


def test_the_question_about_thousands_can_be_settled_for_good() -> None:
    assert parse.parse_mass_mg("1,234 kg", comma_is_decimal=True) == 1_234_000
    assert parse.parse_mass_mg("1,234", "kg", comma_is_decimal=True) == 1_234_000


@pytest.mark.parametrize("default", ["kg", "lb", "oz"])
def test_the_default_unit_completes_no_compound(default: str) -> None:
    with pytest.raises(UnitsError, match="unit-missing"):
        parse.parse_mass_mg("2 lb 3", default)


@pytest.mark.parametrize(
    "text",
    [
        "1" * 1000,
        "1 " * 500,
        "1/" * 500,
        "1kg" * 333,
        "a" * 1000,
        "5 " + "k" * 998,
        " " * 999 + "5",
        "." * 1000,
        "5 " + "m " * 499,
        "1 1/2 " * 166,
        "5 kg" + "." * 996,
        "-" * 1000,
        "5" + " " * 998 + "x",
        "1,1" * 333,
    ],
)
@pytest.mark.parametrize("read", PARSERS)
def test_long_texts_are_refused(read: Callable[[str], object], text: str) -> None:
    # A bare number after many spaces is the one good share among them.
    if read is parse.parse_fraction and text.strip() == "5":
        assert read(text) == 5
        return
    with pytest.raises(UnitsError):
        read(text)


def outcome_of(read: Callable[[str], Fraction | int], text: str) -> Fraction | int | UnitsError:
    """What a parser makes of a text; any error but its own goes through."""
    try:
        return read(text)
    except UnitsError as refused:
        return refused


TYPED = st.text(
    st.sampled_from("0123456789.,/+- °³\"'%kglbozmftincCFhds") | st.characters(exclude_categories=())
)


@pytest.mark.parametrize("read", PARSERS)
@given(text=TYPED)
def test_any_text_is_read_or_refused(read: Callable[[str], Fraction | int], text: str) -> None:
    outcome = outcome_of(read, text)
    if isinstance(outcome, UnitsError):
        assert all(len(shown) <= 60 for shown in outcome.values.values())
        assert all(clean(shown) == shown for shown in outcome.values.values())
    else:
        assert set(text) & set("0123456789")


def test_every_kind_of_fault_stands_in_the_union_with_a_code_of_its_own() -> None:
    made = {each for each in vars(errors).values() if isinstance(each, type) and issubclass(each, Coded)}
    assert made - {Coded, errors.OfTyped, errors.WhichUnit} == set(get_args(errors.UnitsFault))
