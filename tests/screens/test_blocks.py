"""Rows go to what is most vital first."""

from hypothesis import given
from hypothesis import strategies as st

from mixstation.screens.rows import Block, Row, cuttable, plain, row, stacked


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
