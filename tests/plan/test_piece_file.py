"""Pieces as people write them, and every fault on its line."""

import pytest

from mixstation.plan.cut_outs import RectangularCutOut, RoundCutOut
from mixstation.plan.faults_of_pieces import ThicknessOverPiece
from mixstation.plan.piece_file import read_pieces
from mixstation.plan.pieces import Piece, coats
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
from mixstation.toml.lines import FileFault, FileRefused

YARD = """
[[piece]]
name = "bench top"
shape = "slab"
count = 2
length = "1,2 m"
width = "16 in"
thickness = "18 mm"
face_coat = "3 mm"

[[piece.cut_out]]
x = "100 mm"
y = "60 mm"
length = "200 mm"
width = "45 mm"

[[piece.cut_out]]
x = "900 mm"
y = "200 mm"
diameter = "35 mm"

[[piece]]
name = "sill cap"
shape = "profile"
section = [["0 mm", "0 mm"], ["180 mm", "0 mm"], ["180 mm", "40 mm"], ["0 mm", "60 mm"]]
length = "950 mm"
"""

DISC = '[[piece]]\nname = "cap"\nshape = "disc"\ndiameter = "400 mm"\nthickness = "15 mm"\n'


def faults_of(text: str) -> tuple[FileFault, ...]:
    with pytest.raises(FileRefused) as caught:
        read_pieces(text, "yard.toml")
    return caught.value.faults


def test_a_yard_s_pieces() -> None:
    bench, cap = read_pieces(YARD, "yard.toml")
    cuts = (
        RectangularCutOut(x_mm=100, y_mm=60, length_mm=200, width_mm=45),
        RoundCutOut(x_mm=900, y_mm=200, diameter_mm=35),
    )
    slab = Slab(length_mm=1200, width_mm=406.4, cut_outs=cuts)
    assert bench == Piece(name="bench top", count=2, shape=slab, layers=coats(18, 3))
    section = ((0, 0), (180, 0), (180, 40), (0, 60))
    assert cap == Piece(name="sill cap", shape=Profile(section=section, length_mm=950), layers=coats(None))


@pytest.mark.parametrize(
    ("lines", "shape"),
    [
        ('shape = "disc"\ndiameter = "400 mm"\nthickness = "15 mm"', Disc(diameter_mm=400)),
        (
            'shape = "ring"\nouter_diameter = "60 cm"\ninner_diameter = "300 mm"\nthickness = "15 mm"',
            Ring(outer_diameter_mm=600, inner_diameter_mm=300),
        ),
        (
            'shape = "corners"\nthickness = "15 mm"\n'
            'corners = [["0 mm", "0 mm"], ["600 mm", "0 mm"], ["-50 mm", "400 mm"]]',
            CornerShape(corners=((0, 0), (600, 0), (-50, 400))),
        ),
        (
            'shape = "tray"\nlength = "500 mm"\nwidth = "300 mm"\nreturns = "80 mm"\nthickness = "15 mm"',
            Tray(length_mm=500, width_mm=300, front_mm=80, back_mm=80, left_mm=80, right_mm=80),
        ),
        (
            'shape = "tray"\nlength = "500 mm"\nwidth = "300 mm"\nfront = "80 mm"\nthickness = "15 mm"',
            Tray(length_mm=500, width_mm=300, front_mm=80),
        ),
        (
            'shape = "trough"\nlength = "800 mm"\ntop_width = "240 mm"\nfloor_width = "200 mm"\n'
            'height = "180 mm"\nthickness = "15 mm"\nends = "open"',
            Trough(length_mm=800, top_width_mm=240, floor_width_mm=200, height_mm=180, ends="open"),
        ),
        (
            'shape = "water fill"\nwater = "12.4 kg"\nwater_temperature = "64.4 °F"\n'
            'faced = "900 mm by 450 mm"\nface_coat = "3 mm"',
            WaterFill(water_kg=12.4, water_c=18, face_mm2=405_000),
        ),
    ],
)
def test_every_other_shape(lines: str, shape: Shape) -> None:
    (piece,) = read_pieces(f'[[piece]]\nname = "test"\n{lines}\n', "yard.toml")
    assert piece.shape == shape


def test_all_faults_together_each_on_its_line() -> None:
    text = """\
[[piece]]
name = "hearth plate"
shape = "slab"
length = "80O mm"
width = 500
thicknes = "15 mm"
[[piece]]
name = "round"
shape = "dsic"
[[piece]]
name = "ring"
shape = "ring"
count = 0
outer_diameter = "300 mm"
inner_diameter = "400 mm"
thickness = "15 mm"
[other]
"""
    found = [(fault.line, fault.code) for fault in faults_of(text)]
    assert found == [
        (1, "key-missing"),
        (4, "unknown-unit"),
        (5, "not-text"),
        (6, "unknown-key"),
        (9, "not-one-of"),
        (13, "out-of-range"),
        (17, "unknown-key"),
    ]
    by_line = {fault.line: fault for fault in faults_of(text)}
    assert by_line[6].told.suggestion == "thickness"
    assert by_line[9].told.suggestion == "disc"
    assert by_line[5].example == '"450 mm"'
    assert by_line[6].line_text == 'thicknes = "15 mm"'


@pytest.mark.parametrize(
    ("text", "line", "code"),
    [
        ("", 0, "key-missing"),
        ("[piece]\n", 1, "not-tables"),
        ("piece = 3\n", 1, "not-tables"),
        ('[[piece]]\nname = "a"\nshape = 3\n', 3, "not-one-of"),
        ('[[piece]]\nname = "a"\nshape = {}\n', 3, "not-one-of"),
        ('[[piece]]\nname = "a"\nshape = ["slab"]\n', 3, "not-one-of"),
        ('[[piece]]\nname = "a"\n', 1, "key-missing"),
        ("".join(DISC.replace("cap", f"cap {n}") for n in range(51)), 251, "too-many"),
        (
            YARD.replace("[[piece.cut_out]]", "[piece.cut_out]", 1).split("[[piece.cut_out]]")[0],
            11,
            "not-tables",
        ),
        (YARD.replace('width = "45 mm"\n', ""), 11, "cut-out-form"),
        (YARD.replace('x = "100 mm"', 'x = "1100 mm"'), 2, "cut-out-outside"),
        (
            YARD.replace('x = "900 mm"', 'x = "290 mm"').replace('"200 mm"\ndia', '"90 mm"\ndia'),
            2,
            "cut-outs-overlap",
        ),
        (YARD.replace('["180 mm", "40 mm"]', '["180 mm"]'), 25, "corner-form"),
        (YARD.replace('["180 mm", "40 mm"]', '["180 mm", "-40 mm"], ["90 mm", "60 mm"]'), 22, "sides-cross"),
        (YARD.replace("count = 2", "count = true"), 5, "not-whole"),
        (YARD.replace("count = 2", "count = 1" + "0" * 800), 5, "out-of-range"),
        (YARD.replace("section = ", "section = 4 #"), 25, "corners-form"),
    ],
)
def test_one_fault(text: str, line: int, code: str) -> None:
    (fault,) = faults_of(text)
    assert (fault.line, fault.code) == (line, code)


def test_a_fault_of_the_shape_names_the_piece() -> None:
    (fault,) = faults_of(YARD.replace('"18 mm"', '"18 m"'))
    assert (fault.line, fault.code) == (2, "thickness-over-piece")
    assert fault.told == ThicknessOverPiece(piece="bench top", thickness_mm=18_000.0, limit_mm=406.4)


def test_tray_returns_are_given_one_way() -> None:
    text = (
        '[[piece]]\nname = "tray"\nshape = "tray"\nlength = "500 mm"\nwidth = "300 mm"\n'
        'returns = "80 mm"\nleft = "40 mm"\nthickness = "15 mm"\n'
    )
    (fault,) = faults_of(text)
    assert (fault.line, fault.code) == (6, "returns-twice")
