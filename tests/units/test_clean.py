"""Cleaning of text from outside."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.units.clean import MAX_MARK_COUNT, clean

UNSAFE = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}
any_text = st.text(st.characters(exclude_categories=()))


@pytest.mark.parametrize(
    "character",
    [
        "\x00",
        "\x1b",
        "\x7f",
        "\x9b",
        "\n",
        "\t",
        "\r",
        "\u202e",
        "\u2066",
        "\u200d",
        "\ufeff",
        "\u2028",
        "\u2029",
        "\ud800",
        "\ue000",
        "\uffff",
        "\u00ad",
    ],
)
def test_unsafe_characters_are_replaced(character: str) -> None:
    assert clean(f"a{character}b") == "a\ufffdb"


def test_ordinary_text_is_untouched() -> None:
    text = "Feiner Quarzsand 0,1–0,5 mm · grès blanc · 白色水泥 · 25 °C [/] & <b>"
    assert clean(text) == text


def test_lines_and_tabs_are_kept_on_request_only() -> None:
    assert clean("one\n\ttwo\r\x0b", keep_lines=True) == "one\n\ttwo\ufffd\ufffd"


def test_marks_past_four_in_a_row_are_dropped() -> None:
    assert clean("a" + "\u0301" * 9 + "b\u0301") == "a" + "\u0301" * 4 + "b\u0301"


@pytest.mark.parametrize(("length", "expected"), [(9, "x" * 9), (10, "x" * 10), (11, "x" * 9 + "…")])
def test_length_is_capped(length: int, expected: str) -> None:
    assert clean("x" * length, limit=10) == expected


def test_limit_of_one() -> None:
    assert clean("xy", limit=1) == "…"


@given(any_text, st.integers(1, 30), st.booleans())
def test_nothing_unsafe_is_left(text: str, limit: int, keep_lines: bool) -> None:
    cleaned = clean(text, limit, keep_lines=keep_lines)
    assert len(cleaned) <= limit
    kept = {"\n", "\t"} if keep_lines else set()
    assert not [c for c in cleaned if unicodedata.category(c) in UNSAFE and c not in kept]
    marks = 0
    for character in cleaned:
        marks = marks + 1 if unicodedata.category(character)[0] == "M" else 0
        assert marks <= MAX_MARK_COUNT
    assert clean(cleaned, limit, keep_lines=keep_lines) == cleaned
