"""Large digits: fixed width, all different, and none that one lost point turns into another."""

from itertools import combinations

import pytest

from mixstation.screens.headline import HEIGHT, SHAPE, columns_at, drawable, drawn, rows_at

DIGITS = "0123456789"


@pytest.mark.parametrize("character", sorted(SHAPE))
def test_every_shape_is_a_full_rectangle(character: str) -> None:
    lines = SHAPE[character]
    assert len(lines) == HEIGHT
    assert len({len(line) for line in lines}) == 1
    assert set("".join(lines)) <= {".", "#"}
    assert "#" in "".join(lines)


def test_digits_are_equally_wide_so_that_live_values_stand_still() -> None:
    assert {len(SHAPE[digit][0]) for digit in DIGITS} == {4}


@pytest.mark.parametrize(("one", "other"), list(combinations(DIGITS, 2)))
def test_digits_differ_by_more_than_one_point(one: str, other: str) -> None:
    differing = sum(a != b for a, b in zip("".join(SHAPE[one]), "".join(SHAPE[other]), strict=True))
    assert differing >= 2


@pytest.mark.parametrize("text", ["0.34", "-12,5", "1:20", "STOP", "SLOW", "OVER", "POUR", "+3"])
@pytest.mark.parametrize("scale", [1, 2, 3, 6])
def test_drawing_has_the_size_it_says(text: str, scale: int) -> None:
    lines = drawn(text, scale)
    assert len(lines) == rows_at(scale)
    assert {len(line) for line in lines} == {columns_at(text, scale)}


def test_ink_grows_with_the_square_of_the_scale() -> None:
    def half_cells(lines: tuple[str, ...]) -> int:
        return sum({"█": 2, "▀": 1, "▄": 1, " ": 0}[cell] for line in lines for cell in line)

    points = "".join("".join(SHAPE[digit]) for digit in "846").count("#")
    for scale in (1, 2, 3, 4):
        assert half_cells(drawn("846", scale)) == points * scale**2


def test_what_has_no_shape_is_not_drawable() -> None:
    assert drawable("-0.5")
    assert not drawable("")
    assert not drawable("—")
    assert not drawable("5 kg")
