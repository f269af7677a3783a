"""Rows never exceed the columns they are given, whatever is in them."""

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from mixstation.screens.rows import beside, columns_of, ends, filled, plain, row, shown, trimmed, wrapped

TEXT = st.text(max_size=60)
COLUMNS = st.integers(0, 50)


@given(TEXT, TEXT, COLUMNS)
def test_trimmed_rows_fit(one: str, other: str, columns: int) -> None:
    line = row(one, (other, "strong"))
    cut = trimmed(line, columns)
    assert columns_of(cut) <= columns
    assert (cut == line) == (columns_of(line) <= columns)


@given(TEXT, COLUMNS)
def test_filled_rows_are_exact(text: str, columns: int) -> None:
    assert columns_of(filled(row(text), columns)) == columns


@given(TEXT, TEXT, COLUMNS)
def test_ends_fit_and_keep_the_right(left: str, right: str, columns: int) -> None:
    line = ends(row(left), row(right), columns)
    if right:
        assert columns_of(line) == columns
        if columns_of(row(right)) <= columns:
            assert plain(line).endswith(shown(right))


@given(TEXT, st.integers(2, 50), st.integers(0, 3))
def test_wrapped_rows_fit_and_lose_no_word(text: str, columns: int, indent: int) -> None:
    rows = wrapped(text, columns, indent=indent)
    assert all(columns_of(line) <= columns for line in rows)
    if columns > indent + 1:
        together = "".join("".join(plain(line).split()) for line in rows)
        assert together == "".join(shown(text).split())


@given(TEXT)
def test_nothing_shown_steers_a_terminal(text: str) -> None:
    assert not any(unicodedata.category(c) in {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"} for c in shown(text))


def test_beside_fills_up_the_shorter_stack() -> None:
    rows = beside([row("a")], 3, [row("x"), row("y")], "|")
    assert [plain(line) for line in rows] == ["a  |x", "   |y"]


def test_wide_characters_count_two_columns() -> None:
    assert columns_of(row("白水泥")) == 6
    assert columns_of(trimmed(row("白水泥"), 4)) <= 4
