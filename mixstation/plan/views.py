"""Looks at a piece: from above and cut through, each as a size and what stands at a place in it."""

from collections.abc import Callable

from mixstation.frozen import Frozen
from mixstation.plan.corners import Point, contains
from mixstation.plan.cut_outs import CutOut, RectangularCutOut
from mixstation.plan.pieces import Piece
from mixstation.plan.shapes import CornerShape, Disc, Profile, Ring, Slab, Tray, Trough, WaterFill

CONCRETE = "#"
FLOOR = "."
NOTHING = " "

Paint = Callable[[float, float, tuple[float, float]], str]


class PieceView(Frozen):
    """One look at a piece.

    Attributes:
        along_mm: Extent from left to right.
        across_mm: Extent from bottom to top.
        paint: Character that stands at a place, given the place in mm and the size of one character in mm.
    """

    title: str
    along_mm: float
    across_mm: float
    paint: Paint


def views_of(piece: Piece) -> tuple[PieceView, ...]:
    """The looks that show a piece's sizes: from above and cut through; a mould known by its water only as a cube.

    Source: Choice: what a shop drawing shows.
    """
    shape, thick_mm = piece.shape, piece.thickness_mm
    match shape:
        case Slab():
            return _flat(
                shape.length_mm, shape.width_mm, thick_mm, lambda x, y, cell: _slab_at(shape, x, y, cell)
            )
        case CornerShape():
            corners, along_mm, across_mm = _at_origin(shape.corners)
            return _flat(along_mm, across_mm, thick_mm, lambda x, y, _: _mark(contains(corners, x, y)))
        case Disc():
            return _round(shape.diameter_mm, 0.0, thick_mm)
        case Ring():
            return _round(shape.outer_diameter_mm, shape.inner_diameter_mm, thick_mm)
        case Tray():
            return _tray(shape, thick_mm)
        case Trough():
            return _trough(shape, thick_mm)
        case Profile():
            section, along_mm, across_mm = _at_origin(shape.section)
            above = PieceView(
                title="from above", along_mm=shape.length_mm, across_mm=along_mm, paint=lambda *_: CONCRETE
            )
            cut = PieceView(
                title="cut across",
                along_mm=along_mm,
                across_mm=across_mm,
                paint=lambda x, y, _: _mark(contains(section, x, y)),
            )
            return above, cut
        case WaterFill():
            edge_mm = shape.volume_mm3 ** (1 / 3)
            as_cube = "as much mix as a cube"
            return (PieceView(title=as_cube, along_mm=edge_mm, across_mm=edge_mm, paint=lambda *_: CONCRETE),)


def _mark(solid: bool) -> str:
    return CONCRETE if solid else NOTHING


def _at_origin(corners: tuple[Point, ...]) -> tuple[tuple[Point, ...], float, float]:
    left, front = min(x for x, _ in corners), min(y for _, y in corners)
    moved = tuple((x - left, y - front) for x, y in corners)
    return moved, max(x for x, _ in moved), max(y for _, y in moved)


def _flat(along_mm: float, across_mm: float, thick_mm: float, paint: Paint) -> tuple[PieceView, ...]:
    side = PieceView(title="from the side", along_mm=along_mm, across_mm=thick_mm, paint=lambda *_: CONCRETE)
    return PieceView(title="from above", along_mm=along_mm, across_mm=across_mm, paint=paint), side


def _slab_at(slab: Slab, x: float, y: float, cell: tuple[float, float]) -> str:
    for number, cut in enumerate(slab.cut_outs, start=1):
        middle_x, middle_y = _middle(cut)
        if 0 < middle_x - x + cell[0] / 2 <= cell[0] and 0 < middle_y - y + cell[1] / 2 <= cell[1]:
            return str(number) if number < 10 else NOTHING
    return NOTHING if any(_in_cut(cut, x, y) for cut in slab.cut_outs) else CONCRETE


def _middle(cut: CutOut) -> Point:
    if isinstance(cut, RectangularCutOut):
        return cut.x_mm + cut.length_mm / 2, cut.y_mm + cut.width_mm / 2
    return cut.x_mm, cut.y_mm


def _in_cut(cut: CutOut, x: float, y: float) -> bool:
    if isinstance(cut, RectangularCutOut):
        return 0 <= x - cut.x_mm <= cut.length_mm and 0 <= y - cut.y_mm <= cut.width_mm
    return (x - cut.x_mm) ** 2 + (y - cut.y_mm) ** 2 <= cut.diameter_mm**2 / 4


def _round(outer_mm: float, inner_mm: float, thick_mm: float) -> tuple[PieceView, ...]:
    middle = outer_mm / 2

    def above(x: float, y: float, _: tuple[float, float]) -> str:
        return _mark(inner_mm**2 <= 4 * ((x - middle) ** 2 + (y - middle) ** 2) <= outer_mm**2)

    def side(x: float, _y: float, _: tuple[float, float]) -> str:
        return _mark(abs(x - middle) >= inner_mm / 2)

    return (
        PieceView(title="from above", along_mm=outer_mm, across_mm=outer_mm, paint=above),
        PieceView(title="cut across", along_mm=outer_mm, across_mm=thick_mm, paint=side),
    )


def _tray(tray: Tray, thick_mm: float) -> tuple[PieceView, ...]:
    def above(x: float, y: float, cell: tuple[float, float]) -> str:
        along, across = max(thick_mm, cell[0]), max(thick_mm, cell[1])
        walls = (
            tray.front_mm and y <= across,
            tray.back_mm and y >= tray.width_mm - across,
            tray.left_mm and x <= along,
            tray.right_mm and x >= tray.length_mm - along,
        )
        return CONCRETE if any(walls) else FLOOR

    across_width = bool(tray.front_mm or tray.back_mm)
    span_mm = tray.width_mm if across_width else tray.length_mm
    near_mm, far_mm = (tray.front_mm, tray.back_mm) if across_width else (tray.left_mm, tray.right_mm)

    def cut(x: float, y: float, cell: tuple[float, float]) -> str:
        wall = max(thick_mm, cell[0])
        return _mark(
            y <= max(thick_mm, cell[1])
            or (x <= wall and y <= near_mm)
            or (x >= span_mm - wall and y <= far_mm)
        )

    title = "cut across, front at the left" if across_width else "cut along"
    return (
        PieceView(title="from above", along_mm=tray.length_mm, across_mm=tray.width_mm, paint=above),
        PieceView(title=title, along_mm=span_mm, across_mm=max(near_mm, far_mm, thick_mm), paint=cut),
    )


def _trough(trough: Trough, thick_mm: float) -> tuple[PieceView, ...]:
    widest_mm = max(trough.top_width_mm, trough.floor_width_mm)

    def half_width(height_mm: float) -> float:
        part = height_mm / trough.height_mm
        return (trough.floor_width_mm + (trough.top_width_mm - trough.floor_width_mm) * part) / 2

    def above(x: float, y: float, cell: tuple[float, float]) -> str:
        off_middle = abs(y - widest_mm / 2)
        rim_mm = trough.top_width_mm / 2
        if off_middle > max(rim_mm, trough.floor_width_mm / 2):
            return NOTHING
        end = trough.ends == "closed" and min(x, trough.length_mm - x) <= max(thick_mm, cell[0])
        return CONCRETE if end or off_middle >= rim_mm - max(thick_mm, cell[1]) else FLOOR

    def cut(x: float, y: float, cell: tuple[float, float]) -> str:
        off_middle = abs(x - widest_mm / 2)
        outer_mm = half_width(y)
        wall = outer_mm - max(thick_mm, cell[0]) <= off_middle <= outer_mm
        return _mark(wall or (off_middle <= outer_mm and y <= max(thick_mm, cell[1])))

    return (
        PieceView(title="from above", along_mm=trough.length_mm, across_mm=widest_mm, paint=above),
        PieceView(title="cut across", along_mm=widest_mm, across_mm=trough.height_mm, paint=cut),
    )
