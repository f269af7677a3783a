"""Drawings are to scale, show what was asked for, and fit."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mixstation.plan.cut_outs import RectangularCutOut, RoundCutOut
from mixstation.plan.drawing import draw_piece
from mixstation.plan.pieces import Layer, Piece, coats
from mixstation.plan.shapes import (
    CornerShape,
    Disc,
    Profile,
    Ring,
    Shape,
    Slab,
    Tray,
    Trough,
    WaterFill,
)
from mixstation.plan.views import views_of
from mixstation.units.show import DisplayUnits

SHAPES: tuple[tuple[Shape, tuple[Layer, ...]], ...] = (
    (Slab(length_mm=1200, width_mm=400), coats(18, 3)),
    (Slab(length_mm=400, width_mm=1500), coats(18)),
    (Disc(diameter_mm=450), coats(15)),
    (Ring(outer_diameter_mm=450, inner_diameter_mm=200), coats(15)),
    (CornerShape(corners=((0, 0), (700, 0), (500, 420), (0, 420))), coats(15)),
    (Tray(length_mm=500, width_mm=300, left_mm=90), coats(15)),
    (Trough(length_mm=900, top_width_mm=260, floor_width_mm=180, height_mm=180), coats(15)),
    (Profile(section=((0, 0), (180, 0), (180, 40), (0, 60)), length_mm=950), coats(None)),
    (WaterFill(water_kg=12, water_c=18), coats(None)),
)


def draw(shape: Shape, layers: tuple[Layer, ...] = coats(15), **options: object) -> tuple[str, ...]:
    return draw_piece(Piece(name="piece", shape=shape, layers=layers), **options)  # type: ignore[arg-type]


@pytest.mark.parametrize(("shape", "layers"), SHAPES, ids=lambda part: type(part).__name__)
@pytest.mark.parametrize("columns", [30, 57, 120])
@pytest.mark.parametrize("rows", [10, 17, 50])
def test_every_shape_fits_where_it_is_drawn(
    shape: Shape, layers: tuple[Layer, ...], columns: int, rows: int
) -> None:
    lines = draw(shape, layers, column_count=columns, row_count=rows)
    assert len(lines) <= rows
    assert all(len(line) <= columns for line in lines)
    assert any("#" in line for line in lines)
    assert lines[-1].startswith("|")


sizes_mm = st.floats(min_value=30, max_value=3000)


@settings(deadline=None)
@given(sizes_mm, sizes_mm, st.integers(30, 140), st.integers(10, 60))
def test_a_slab_is_drawn_to_the_scale_of_its_bar(
    length_mm: float, width_mm: float, columns: int, rows: int
) -> None:
    lines = draw(Slab(length_mm=length_mm, width_mm=width_mm), column_count=columns, row_count=rows)
    assert len(lines) <= rows
    side = lines.index("from the side")
    drawn = [line.split()[0] for line in lines[1:side] if line.startswith("#")]
    bar, _, text = lines[-1].partition("| ")
    mm_per_column = float(text.removesuffix(" mm")) / (len(bar) + 1)
    # Rows, columns and the bar are whole characters; a bar of few characters says little.
    if len(bar) >= 3:
        for found, wanted in (
            (len(drawn[0]), length_mm / mm_per_column),
            (len(drawn), width_mm / mm_per_column / 2),
        ):
            assert abs(found - max(1, wanted)) <= 1 + 0.15 * wanted


def test_a_slip_of_a_zero_shows() -> None:
    right = draw(Slab(length_mm=600, width_mm=300), coats(20), column_count=72, row_count=22)
    wrong = draw(Slab(length_mm=600, width_mm=300), coats(200), column_count=72, row_count=22)
    side_rows = [len(lines) - lines.index("from the side") - 3 for lines in (right, wrong)]
    assert side_rows == [1, 6]


@settings(deadline=None)
@given(st.floats(min_value=0.1, max_value=0.95))
def test_a_ring_leaves_its_hole_open(part: float) -> None:
    lines = draw(Ring(outer_diameter_mm=800, inner_diameter_mm=800 * part), column_count=120, row_count=50)
    above = lines[2 : lines.index("cut across")]
    drawn = sum(line.count("#") for line in above)
    disc = sum(
        line.count("#")
        for line in draw(Disc(diameter_mm=800), column_count=120, row_count=50)[2 : 2 + len(above)]
    )
    assert drawn / disc == pytest.approx(1 - part**2, abs=0.03)


def test_cut_outs_are_open_numbered_and_listed() -> None:
    cuts = (
        RectangularCutOut(x_mm=100, y_mm=60, length_mm=200, width_mm=100),
        RoundCutOut(x_mm=900, y_mm=200, diameter_mm=90),
    )
    lines = draw(Slab(length_mm=1200, width_mm=400, cut_outs=cuts))
    assert "1: 200 mm × 100 mm at 100 mm, 60 mm" in lines
    assert "2: diameter 90 mm at 900 mm, 200 mm" in lines
    above = lines[2 : lines.index("from the side")]
    # A character is 20 mm wide and 40 mm high: openings 10 × 3 and about 4 × 2.
    assert [line.find("1") for line in above if " 1 " in line] == [9]
    assert [line.find("2") for line in above if " 2 " in line] == [44]
    openings = "".join(line.split("  4")[0].replace("1", " ").replace("2", " ") for line in above)
    assert openings.count(" ") == 10 * 3 + 2 * 4


def test_more_cut_outs_than_there_is_room_for_are_counted() -> None:
    holes = tuple(RoundCutOut(x_mm=100.0 + 90 * at, y_mm=100, diameter_mm=40) for at in range(11))
    lines = draw(Slab(length_mm=1200, width_mm=200, cut_outs=holes))
    assert "and 7 more cut-outs" in lines


def test_a_tray_shows_which_sides_turn_up() -> None:
    lines = draw(Tray(length_mm=500, width_mm=300, front_mm=80, left_mm=40), coats(15))
    above = lines[2 : lines.index("cut across, front at the left")]
    assert above[0].startswith("#.")
    assert set(above[-1].split("  ")[0]) == {"#"}
    assert not above[0].split("  ")[0].endswith("#")
    assert "returns: front 80 mm, left 40 mm" in lines


def test_us_lengths() -> None:
    lines = draw(Slab(length_mm=609.6, width_mm=304.8), coats(19.05), units=DisplayUnits.US)
    assert "24 in" in lines[1]
    assert any(line.endswith("12 in") for line in lines)
    assert "one coat 3/4 in" in lines
    assert lines[-1].endswith(" in")


def test_a_name_from_outside_is_cleaned() -> None:
    piece = Piece(name="plate\x1b[2J\u202e", shape=Disc(diameter_mm=300), layers=coats(15))
    assert draw_piece(piece)[0] == "plate\ufffd[2J\ufffd, from above"


def test_the_edge_itself_is_part_of_the_piece() -> None:
    """A return of 80 mm is drawn up to 80 mm, a trough 260 mm wide out to 130 mm from its middle; not beyond."""
    tray = Tray(length_mm=500, width_mm=300, front_mm=80, back_mm=40)
    _, cut = views_of(Piece(name="tray", shape=tray, layers=coats(15)))
    assert [cut.paint(5, y, (1, 1)) for y in (80, 81)] == ["#", " "]
    assert [cut.paint(295, y, (1, 1)) for y in (40, 41)] == ["#", " "]
    trough = Trough(length_mm=900, top_width_mm=260, floor_width_mm=180, height_mm=180)
    above, _ = views_of(Piece(name="trough", shape=trough, layers=coats(15)))
    assert [above.paint(450, y, (1, 1)) for y in (-1, 0, 16, 244, 260, 261)] == [" ", "#", ".", ".", "#", " "]
