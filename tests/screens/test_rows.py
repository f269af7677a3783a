"""Rows never exceed the columns they are given, whatever is in them."""

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from mixstation.screens.rows import (
    Block,
    Row,
    beside,
    columns_of,
    cuttable,
    ends,
    filled,
    plain,
    row,
    shown,
    stacked,
    trimmed,
    wrapped,
)

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


def _texts(rows: tuple[Row, ...]) -> list[str]:
    return [plain(line) for line in rows]


VITAL = cuttable([row("v1"), row("v2"), row("v3")], least=1, keep=1, grow=3)


USEFUL = cuttable([row("u1"), row("u2")], least=2, keep=2, grow=2)


FOOT = cuttable([row("foot")], least=1, keep=0, grow=0, foot=True)


def test_the_vital_stays_when_room_runs_out() -> None:
    assert _texts(stacked([USEFUL, VITAL, FOOT], 2)) == ["v1", "foot"]


def test_a_block_that_does_not_fit_leaves_its_rows_to_others() -> None:
    assert _texts(stacked([USEFUL, VITAL, FOOT], 3)) == ["v1", "v2", "foot"]


def test_free_rows_lie_above_the_foot() -> None:
    assert _texts(stacked([USEFUL, VITAL, FOOT], 8)) == ["u1", "u2", "v1", "v2", "v3", "", "", "foot"]


@given(
    st.lists(
        st.builds(
            lambda count, least, keep, grow, foot: cuttable(
                [row("x")] * count, least=least, keep=keep, grow=grow, foot=foot
            ),
            st.integers(0, 6),
            st.integers(1, 4),
            st.integers(0, 50),
            st.integers(50, 99),
            st.booleans(),
        ),
        max_size=8,
    ),
    st.integers(0, 30),
)
def test_the_height_is_always_exact(blocks: list[Block], height: int) -> None:
    assert len(stacked(blocks, height)) == height
