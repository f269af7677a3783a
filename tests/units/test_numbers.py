"""The grammar of typed numbers."""

import re
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from mixstation.units.errors import UnitsError
from mixstation.units.numbers import read_mixed_number, read_number

GRAMMAR = re.compile(r"[+-]?([0-9]{1,7}|[0-9]{0,7}[.,][0-9]{1,6})", re.ASCII)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("6,4", Fraction(32, 5)),
        ("6.4", Fraction(32, 5)),
        (" 6.4 ", Fraction(32, 5)),
        ("-0,5", Fraction(-1, 2)),
        ("+12", Fraction(12)),
        ("007", Fraction(7)),
        ("1.234", Fraction(1234, 1000)),
        ("0,125", Fraction(1, 8)),
        ("01,250", Fraction(5, 4)),
        ("1234,567", Fraction(1234567, 1000)),
        ("1,2345", Fraction(12345, 10000)),
        ("1,23", Fraction(123, 100)),
        ("9999999.999999", Fraction(9999999999999, 1000000)),
        ("0.1", Fraction(1, 10)),
        (".4", Fraction(2, 5)),
        (",4", Fraction(2, 5)),
        ("-.4", Fraction(-2, 5)),
        (",125", Fraction(1, 8)),
    ],
)
def test_read_exactly(text: str, value: Fraction) -> None:
    assert read_number(text) == value


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "empty"),
        ("   ", "empty"),
        ("+", "bad-number"),
        ("--5", "bad-number"),
        ("- 5", "bad-number"),
        ("5-", "bad-number"),
        ("6,4,3", "bad-number"),
        ("6.4.3", "bad-number"),
        ("1,234.5", "bad-number"),
        ("1.234,5", "bad-number"),
        ("5.", "bad-number"),
        ("5,", "bad-number"),
        (".", "bad-number"),
        (",", "bad-number"),
        ("..5", "bad-number"),
        (",.5", "bad-number"),
        (".٣", "bad-number"),
        ("1_000", "bad-number"),
        ("1 000", "bad-number"),
        ("1'000", "bad-number"),
        ("1e5", "bad-number"),
        ("0x10", "bad-number"),
        ("nan", "bad-number"),
        ("inf", "bad-number"),
        ("²", "bad-number"),
        ("5²", "bad-number"),
        ("½", "bad-number"),
        ("٨", "bad-number"),
        ("٨٫٢", "bad-number"),
        ("\uff18", "bad-number"),
        ("−5", "bad-number"),
        ("5\n", "bad-number"),
        ("5\u200b", "bad-number"),
        ("12345678", "too-many-digits"),
        ("1.1234567", "too-many-digits"),
        ("1" * 1000, "too-many-digits"),
        ("1" * 1001, "too-long"),
    ],
)
def test_refused(text: str, code: str) -> None:
    with pytest.raises(UnitsError) as refused:
        read_number(text)
    assert refused.value.code == code


@pytest.mark.parametrize(
    ("text", "as_decimal", "as_thousands"),
    [("1,234", "1.234", "1234"), ("-12,000", "-12.000", "-12000"), ("+999,999", "+999.999", "+999999")],
)
def test_a_comma_before_three_digits_is_asked_about(text: str, as_decimal: str, as_thousands: str) -> None:
    with pytest.raises(UnitsError) as asked:
        read_number(text)
    assert asked.value.code == "ambiguous-thousands"
    assert asked.value.values == {"found": text, "as_decimal": as_decimal, "as_thousands": as_thousands}
    assert read_number(text, comma_is_decimal=True) == read_number(as_decimal)


@given(st.text(alphabet="0123456789.,+-eE_ ٣²", max_size=12) | st.from_regex(GRAMMAR, fullmatch=True))
@example("1,234")
def test_accepts_the_grammar_and_nothing_else(text: str) -> None:
    try:
        value = read_number(text, comma_is_decimal=True)
    except UnitsError:
        assert not GRAMMAR.fullmatch(text.strip(" "))
    else:
        assert GRAMMAR.fullmatch(text.strip(" "))
        assert value == Fraction(text.strip(" ").replace(",", "."))


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("3/8", Fraction(3, 8)),
        ("1 3/8", Fraction(11, 8)),
        ("12  15/16", Fraction(207, 16)),
        ("8,5", Fraction(17, 2)),
    ],
)
def test_mixed_numbers(text: str, value: Fraction) -> None:
    assert read_mixed_number(text) == value


@pytest.mark.parametrize(
    "text",
    [
        "11/2",
        "1/0",
        "0/0",
        "3/",
        "/8",
        "1/2/3",
        "1.5 3/8",
        "1 2 3/8",
        "-3/8",
        "1/1234",
        "٣/8",
        "3 /8",
        "3/ 8",
        "/" * 1000,
    ],
)
def test_other_fractions_are_refused(text: str) -> None:
    with pytest.raises(UnitsError) as refused:
        read_mixed_number(text)
    assert refused.value.code == "bad-fraction"
