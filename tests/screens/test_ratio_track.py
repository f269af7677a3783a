"""The ratio's track: which mark is what number is said, in ASCII, whatever the colours and wherever the mark lies."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.screens.rows import columns_of, plain
from mixstation.screens.tracks import ratio_forms
from mixstation.station.view import PlaceShown, RatioShown
from tests.screens.view_parts import RATIO

FIGURES = ("[ least 0.300", "| aim 0.330", "] most 0.360", "! ceiling 0.390")


def track_of(ratio: RatioShown, columns: int) -> str:
    *_, everything = ratio_forms(ratio, columns)
    texts = [plain(line) for line in everything]
    return next(text for text in texts if set(text) <= set("[]|!.-~O<>?"))


@pytest.mark.parametrize("columns", [36, 38, 60, 80, 200])
def test_every_number_stands_beside_its_mark(columns: int) -> None:
    *_, figures, everything = ratio_forms(RATIO, columns)
    for form in (figures, everything):
        assert all(columns_of(line) <= columns for line in form)
        text = "\n".join(plain(line) for line in form)
        assert all(figure in text for figure in FIGURES)
        assert text.replace("±", "").isascii()


@pytest.mark.parametrize("label", ["all water / binder", "ends at, all water / cement and pozzolan"])
@pytest.mark.parametrize("columns", [20, 36, 38, 60, 80])
def test_the_ratio_itself_is_never_cut(label: str, columns: int) -> None:
    ratio = replace(RATIO, label=label)
    for form in ratio_forms(ratio, columns):
        text = [plain(line) for line in form]
        assert any(RATIO.value in line for line in text)
        assert RATIO.verdict in " ".join(text)
        assert label in " ".join(" ".join(text).split())


def test_the_marks_stand_in_the_order_of_their_numbers() -> None:
    track = track_of(RATIO, 80)
    assert [mark for mark in track if mark in "[|]O!"] == ["[", "|", "O", "]", "!"]
    band = track.index("]") - track.index("[")
    # Ceiling half a band past the most; target in the middle. Each to a column.
    assert abs(track.index("!") - track.index("]") - band / 2) <= 1
    assert abs(track.index("|") - track.index("[") - band / 2) <= 1


@given(st.floats(-5, 5), st.sampled_from(["under", "inside", "over", "unsure"]), st.integers(24, 200))
def test_there_is_always_one_mark_and_it_lies_where_the_ratio_does(
    position: float, place: PlaceShown, columns: int
) -> None:
    track = track_of(replace(RATIO, position=position, place=place, half_width=0.0), columns)
    assert len(track) == columns
    mark = {"under": "<", "inside": "O", "over": ">", "unsure": "?"}[place]
    assert track.count(mark) == 1
    at = track.index(mark)
    cell = 1.95 / columns
    for end, sign in ((0.0, "["), (1.0, "]"), (1.5, "!")):
        if abs(position - end) > cell:
            assert (at > track.index(sign)) == (position > end)
