"""Shapes, cut-outs, outlines, drawings and pieces files, each through many sizes and just past its limits."""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import fields, replace
from itertools import combinations, product
from random import Random
from typing import Any

from mixstation.plan.corners import area_mm2, contains, crossing_sides, repeated_corner
from mixstation.plan.cut_outs import CutOut, RectangularCutOut, RoundCutOut, bounds, overlap
from mixstation.plan.drawing import draw_piece
from mixstation.plan.faults_of_pieces import CutOutOutside
from mixstation.plan.piece_file import KEYS, read_pieces
from mixstation.plan.pieces import Layer, Piece, coats, layer_volumes, piece_cautions, piece_faults
from mixstation.plan.shape_table import CUT_OUTS, SHAPES
from mixstation.plan.shapes import CornerShape, Disc, Profile, Ring, Shape, Slab, Tray, Trough, WaterFill
from mixstation.plan.views import views_of
from mixstation.units.show import DisplayUnits
from tests.figures.compared import digest
from tests.figures.plan_figures import shown, told
from tests.figures.plan_jobs import piece

FLATS: tuple[tuple[Shape, tuple[float, ...]], ...] = (
    (Slab(length_mm=400, width_mm=300), (299.5, 300, 300.5)),
    (Slab(length_mm=200, width_mm=300), (199.5, 200, 250)),
    (Disc(diameter_mm=250), (249.5, 250)),
    (Ring(outer_diameter_mm=300, inner_diameter_mm=299), (20, 299.5, 300)),
    (Ring(outer_diameter_mm=300, inner_diameter_mm=300), (20,)),
    (Ring(outer_diameter_mm=300, inner_diameter_mm=301), (20,)),
    (CornerShape(corners=((0, 0), (300, 0), (0, 90))), (89.5, 90)),
    (CornerShape(corners=((0, 0), (70, 0), (0, 90))), (69.5, 70)),
    (CornerShape(corners=((100, 200), (170, 200), (100, 290))), (69.5, 70)),
    (CornerShape(corners=((100, 200), (300, 200), (100, 290))), (89.5, 90)),
    (CornerShape(corners=((0, 0), (300, 0))), (10,)),
    (CornerShape(corners=tuple((n, n * n / 10) for n in range(100))), (1,)),
    (CornerShape(corners=tuple((n, n * n / 10) for n in range(101))), (1,)),
    (CornerShape(corners=((0, 0), (20_000, 0), (0, 90))), (10,)),
    (CornerShape(corners=((0, 0), (20_000.5, 0), (0, 90))), (10,)),
    (CornerShape(corners=((0, 0), (300, 0), (300, 0.0004), (0, 90))), (10,)),
    (CornerShape(corners=((0, 0), (300, 200), (300, 0), (0, 200))), (10,)),
    (Tray(length_mm=400, width_mm=300, front_mm=60, back_mm=60), (59, 60)),
    (Tray(length_mm=400, width_mm=300, front_mm=160, back_mm=180), (149.5, 150)),
    (Tray(length_mm=400, width_mm=300, front_mm=340), (299.5, 300)),
    (Tray(length_mm=400, width_mm=500, left_mm=390, right_mm=210), (199.5, 200)),
    (Tray(length_mm=400, width_mm=500, left_mm=450), (399.5, 400)),
    (Tray(length_mm=400, width_mm=500, left_mm=80, front_mm=120, right_mm=40), (20, 39.5, 40)),
    (Tray(length_mm=40, width_mm=0.8, front_mm=0.9, back_mm=0.9), (0.39, 0.4)),
    (Tray(length_mm=0.8, width_mm=40, left_mm=0.9, right_mm=0.9), (0.39, 0.4)),
    (Tray(length_mm=40, width_mm=40, left_mm=0.5), (0.4,)),
    (Slab(length_mm=0.5, width_mm=0.5), (0.4,)),
    (Disc(diameter_mm=0.5), (0.4,)),
    (Slab(length_mm=0.5, width_mm=0.0), (0.4,)),
    (Trough(length_mm=900, top_width_mm=260, floor_width_mm=200, height_mm=220), (15, 115, 116, 132)),
    (
        Trough(length_mm=900, top_width_mm=200, floor_width_mm=260, height_mm=220, ends="open"),
        (15, 98, 99, 100),
    ),
    (Trough(length_mm=60, top_width_mm=260, floor_width_mm=260, height_mm=220), (29.5, 30)),
    (
        Trough(length_mm=60, top_width_mm=260, floor_width_mm=260, height_mm=220, ends="open"),
        (30, 129.5, 130),
    ),
    (Trough(length_mm=900, top_width_mm=700, floor_width_mm=600, height_mm=40), (39.5, 40)),
)


def _flat() -> Iterator[Any]:
    for at, depths_mm in FLATS:
        for depth_mm in depths_mm:
            each = Piece(name="flat", shape=at, layers=coats(depth_mm, 0.0))
            yield [type(at).__name__, depth_mm, told(lambda each=each: layer_volumes(each))]


SOLIDS: tuple[Shape, ...] = (
    WaterFill(water_kg=5.0, water_c=-0.5),
    WaterFill(water_kg=5.0, water_c=0.0, face_mm2=1e5),
    WaterFill(water_kg=5.0, water_c=4.0, face_mm2=1e6),
    WaterFill(water_kg=5.0, water_c=40.0, face_mm2=1e5),
    WaterFill(water_kg=5.0, water_c=40.5),
    WaterFill(water_kg=0.5, water_c=0.5, face_mm2=0.5),
    WaterFill(water_kg=0.0, water_c=20.0),
    WaterFill(water_kg=12.0, water_c=20.0, face_mm2=0.0),
    Profile(section=((0, 0), (100, 0), (100, 30), (0, 30)), length_mm=20_000, faced_mm=160),
    Profile(section=((0, 0), (100, 0), (100, 30), (0, 30)), length_mm=20_001, faced_mm=160),
    Profile(section=((0, 0), (100, 0), (100, 30), (0, 30)), length_mm=500, faced_mm=1000),
    Profile(section=((0, 0), (100, 0), (100, 30), (0, 30)), length_mm=500, faced_mm=999),
    Profile(section=((0, 0), (100, 30), (100, 0), (0, 30)), length_mm=500),
)


def _solids() -> list[Any]:
    return [
        [
            told(
                lambda at=at, face_mm=face_mm: layer_volumes(
                    Piece(name="s", shape=at, layers=coats(None, face_mm))
                )
            )
        ]
        for at in SOLIDS
        for face_mm in (0.0, 3.0)
    ]


def _thicknesses() -> list[Any]:
    slab, water = Slab(length_mm=600, width_mm=400), WaterFill(water_kg=9.0, water_c=20.0, face_mm2=2e5)
    flat = [(slab, whole, face) for whole in (9.99, 10, 25, 25.01) for face in (0.0, 1.99, 2, 4, 4.01)]
    return [
        [whole, face, shown(piece_cautions(Piece(name="t", shape=shape, layers=coats(whole, face))))]
        for shape, whole, face in (*flat, (water, None, 1.0), (water, None, 4.0))
    ]


CUTS: tuple[CutOut, ...] = (
    RectangularCutOut(x_mm=10, y_mm=10, length_mm=50, width_mm=40),
    RectangularCutOut(x_mm=60, y_mm=10, length_mm=50, width_mm=40),
    RectangularCutOut(x_mm=59, y_mm=49, length_mm=30, width_mm=30),
    RectangularCutOut(x_mm=0, y_mm=50, length_mm=20, width_mm=70),
    RectangularCutOut(x_mm=15, y_mm=15, length_mm=5, width_mm=5),
    RoundCutOut(x_mm=130, y_mm=30, diameter_mm=40),
    RoundCutOut(x_mm=170, y_mm=30, diameter_mm=40),
    RoundCutOut(x_mm=140, y_mm=62, diameter_mm=30),
    RoundCutOut(x_mm=35, y_mm=30, diameter_mm=6),
    RoundCutOut(x_mm=63, y_mm=54, diameter_mm=10),
    RoundCutOut(x_mm=64, y_mm=54, diameter_mm=9),
    RoundCutOut(x_mm=35, y_mm=60, diameter_mm=20),
    RoundCutOut(x_mm=120, y_mm=55, diameter_mm=10),
)


def _cuts() -> list[Any]:
    """Bounds and area of each, which of the others it meets either way round, and whether three slabs hold it."""
    found: list[Any] = [[shown(bounds(cut)), shown(cut.area_mm2)] for cut in CUTS]
    numbered = list(enumerate(CUTS))
    found.append([[one, two] for (one, a), (two, b) in combinations(numbered, 2) if overlap(a, b)])
    found.append([[one, two] for (one, a), (two, b) in combinations(numbered, 2) if overlap(b, a)])
    for length, width in ((110, 90), (189.9, 120), (190, 119.9)):
        slab = Slab(length_mm=length, width_mm=width, cut_outs=CUTS)
        found.append([fault.cut_out_number for fault in slab.faults(10) if isinstance(fault, CutOutOutside)])
    whole = Slab(length_mm=190, width_mm=120, cut_outs=(CUTS[0], CUTS[5], CUTS[2]))
    shifted = (replace(CUTS[4], x_mm=-0.5), replace(CUTS[4], y_mm=-0.5), replace(CUTS[4], width_mm=0.0))
    for slab in (whole, *(replace(whole, cut_outs=(cut,)) for cut in shifted)):
        each = Piece(name="cut", shape=slab, layers=coats(18))
        found.append(told(lambda each=each: layer_volumes(each)))
    return found


def _outlines() -> list[Any]:
    """Outlines on a coarse grid, so that corners fall together and sides touch, cross and double back."""
    rng = Random("outlines")
    found = []
    for number in range(240):
        points = tuple(
            (float(rng.randint(0, 4)), float(rng.randint(0, 3))) for _ in range(rng.choice((3, 4, 5, 6)))
        )
        if number % 3 == 0:
            # No finer than the outline is looked at.
            points = tuple((x / 1000, y / 1000) for x, y in points)
        again, cross = repeated_corner(points), None
        if again is None:
            cross = crossing_sides(points)
        inside = [contains(points, x + 0.25, y + 0.5) for x in range(4) for y in range(3)]
        found.append([again, cross, area_mm2(points), "".join("01"[each] for each in inside)])
    return [digest(found), shown(found[:12])]


def _drawings(name: str) -> list[Any]:
    """Pieces of one shape at several sizes of the screen; the first drawing whole, of the others the digits."""
    found: list[Any] = []
    for number in range(6):
        each = piece(Random(f"drawn {name} {number}"), name)
        if piece_faults(each):
            continue
        for columns, rows, units in (
            (52, 18, DisplayUnits.METRIC),
            (72, 22, DisplayUnits.US),
            (20, 5, DisplayUnits.METRIC),
        ):
            lines = draw_piece(each, column_count=columns, row_count=rows, units=units)
            found.append(lines if not found else digest(lines, 8))
        for view, (columns, rows) in product(views_of(each), ((23, 11), (97, 41))[: 2 - number // 2]):
            cell = view.along_mm / columns, view.across_mm / rows
            cells = [
                view.paint((x + 0.5) * cell[0], (y + 0.5) * cell[1], cell)
                for x in range(columns)
                for y in range(rows)
            ]
            found.append([view.title, shown(view.along_mm), shown(view.across_mm), digest(cells, 8)])
        found.append(digest(list(_on_edges(each)), 8))
    return found


def _on_edges(each: Piece) -> Iterator[str]:
    """What stands exactly on the edges of a piece: at its sizes, their halves, its thickness, from either end."""
    shape, thick_mm = each.shape, each.thickness_mm
    sizes_mm = {thick_mm, 0.0}
    sizes_mm |= {size for field in fields(shape) if isinstance(size := getattr(shape, field.name), float)}
    if isinstance(shape, Slab):
        for left, front, right, back in map(bounds, shape.cut_outs):
            sizes_mm |= {left, front, right, back, (left + right) / 2, (front + back) / 2}
    if isinstance(shape, Tray | Trough | Ring | Disc):
        sizes_mm |= {size / 2 for size in sizes_mm}
    for view in views_of(each):
        places = [
            sorted({*sizes_mm, *(end - size for size in sizes_mm)}) for end in (view.along_mm, view.across_mm)
        ]
        for cell in ((1.0, 1.0), (40.0, 25.0)):
            yield "".join(view.paint(x, y, cell) for x in places[0] for y in places[1])


def _many_cuts() -> tuple[str, ...]:
    holes = tuple(
        RoundCutOut(x_mm=60.0 + 70 * n, y_mm=80.0 + 20 * (n % 3), diameter_mm=40) for n in range(11)
    )
    slab = Slab(
        length_mm=850,
        width_mm=300,
        cut_outs=(*holes, RectangularCutOut(x_mm=40, y_mm=180, length_mm=200, width_mm=60)),
    )
    return draw_piece(
        Piece(name="a name of more letters than a drawing shows of one", shape=slab, layers=coats(18))
    )


def _table() -> list[Any]:
    """Every size of every shape: field, range, how it is written, and what stands in one line."""
    found: list[Any] = []
    for name, form in (*SHAPES.items(), *CUT_OUTS.items()):
        found.append([name, [size.name for size in form.in_one_line]])
        for size in form.sizes:
            limits = size.range
            found.append([size.words, size.field, shown(limits.least), shown(limits.most), size.optional])
    found += [
        [name, key, each.example, each.optional] for name, keys in KEYS.items() for key, each in keys.items()
    ]
    return [digest(found), found[:6]]


def _section(corners: Iterable[tuple[int, int]]) -> str:
    """As it is written in a pieces file."""
    return "section = " + json.dumps([[f"{x} mm", f"{y} mm"] for x, y in corners]) + "\n"


_PLATE = (
    '[[piece]]\nname = "plate"\nshape = "slab"\nlength = "600 mm"\nwidth = "400 mm"\nthickness = "18 mm"\n'
)
_CAP = '[[piece]]\nname = "cap"\nshape = "profile"\nlength = "1 m"\nfaced = "220 mm"\nface_coat = "3 mm"\n'
_SECTION = 'section = [["0 mm", "0 mm"], ["180 mm", "0 mm"], ["180 mm", "40 mm"]]\n'
_CUT = '[[piece.cut_out]]\nx = "50 mm"\ny = "60 mm"\n'
_FILL = '[[piece]]\nname = "urn"\nshape = "water fill"\nwater = "12.4 kg"\nwater_temperature = "18 °C"\n'
FILES = (
    _PLATE
    + 'count = 3\nface_coat = "3 mm"\n'
    + _CUT
    + 'diameter = "35 mm"\n'
    + _CUT.replace("50", "150")
    + 'length = "90 mm"\nwidth = "40 mm"\n',
    _CAP + _SECTION,
    _CAP + 'section = [["0 mm", "0 mm"], ["180 mm", "0 mm"]]\n',
    _CAP + 'section = [["0 mm", "0 mm"], ["180 mm"], ["180 mm", "40 mm"]]\n',
    _CAP + "section = 3\n",
    _CAP + _section((0, 0) for _ in range(101)),
    _CAP + _section((n, n * n) for n in range(100)),
    _FILL + 'faced = "900 mm by 450 mm"\nface_coat = "3 mm"\n',
    _FILL + 'faced = "900 mm"\nface_coat = "3 mm"\n',
    _FILL.replace("18 °C", "41 °C"),
    _FILL.replace("12.4 kg", "0 kg"),
    _CAP + 'section = [["0 mm", "0 mm"], "ab", ["180 mm", "40 mm"]]\n',
    *(_FILL + 'faced = "900 mm by ' + "450 mm".rjust(width) + '"\n' for width in (50, 51)),
    *(_PLATE.replace('"plate"', '"' + "p" * length + '"') for length in (60, 61)),
    _PLATE.replace('shape = "slab"\n', ""),
    _PLATE + _CUT + 'diameter = "wide"\n',
    _PLATE + 'face_coat = "0.5 mm"\n',
    _PLATE + _CUT,
    _PLATE + _CUT + 'diameter = "35 mm"\nlength = "20 mm"\n',
    _PLATE + "count = 1000\n" + _PLATE.replace("plate", "Plate"),
    _PLATE + "count = 1001\n",
    _PLATE + 'face_coat = "18 mm"\n',
    _PLATE.replace("18 mm", "400 mm"),
    _PLATE.replace('thickness = "18 mm"\n', ""),
    _PLATE.replace("slab", "tray") + 'returns = "80 mm"\n',
    _PLATE.replace("slab", "tray") + 'returns = "80 mm"\nleft = "40 mm"\n',
    _PLATE.replace("slab", "tray") + 'left = "40 mm"\nback = "0 mm"\n',
    _PLATE.replace("slab", "tray"),
    "".join(_PLATE.replace("plate", f"plate {n}") for n in range(50)),
    "".join(_PLATE.replace("plate", f"plate {n}") for n in range(51)),
    _PLATE
    + "".join(f'[[piece.cut_out]]\nx = "{5 + n} mm"\ny = "9 mm"\ndiameter = "0.5 mm"\n' for n in range(51)),
)


def _files() -> list[Any]:
    return [
        told(lambda text=text: [(each.name, each.count, each.shape, each.layers) for each in _read(text)])
        for text in FILES
    ]


def _read(text: str) -> tuple[Piece, ...]:
    pieces = read_pieces(text, "pieces.toml")
    return pieces if len(pieces) < 9 else pieces[-1:]


def _many_layers() -> tuple[str, ...]:
    names = (f"layer {n} under a name that fills a good part of the line" for n in range(3))
    layers = tuple(Layer(name=name, thickness_mm=5.0) for name in names)
    slab = Slab(length_mm=850, width_mm=300)
    return draw_piece(Piece(name="layered", shape=slab, layers=layers), column_count=150)


def _usual_sizes() -> list[Any]:
    """A wide, a high and a tiny piece where no size of the screen is given."""
    sizes = ((3000, 90), (90, 3000), (3, 2))
    return [
        draw_piece(Piece(name="usual", shape=Slab(length_mm=along, width_mm=across), layers=coats(1)))
        for along, across in sizes
    ]


SHAPE_PARTS: Mapping[str, Callable[[], Any]] = {
    "flat shapes": lambda: list(_flat()),
    "solids": _solids,
    "thicknesses": _thicknesses,
    "cut-outs": _cuts,
    "outlines": _outlines,
    "table of shapes": _table,
    "pieces files": _files,
    "many cut-outs": _many_cuts,
    "many layers": _many_layers,
    "drawn as usual": _usual_sizes,
    **{f"drawn {name}": (lambda name=name: _drawings(name)) for name in SHAPES},
}
