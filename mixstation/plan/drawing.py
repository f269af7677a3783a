"""Draw a piece to scale in text, so that a slip of a zero is seen before it is cast.

A character is taken as twice as high as it is wide. Seen from above and cut through, both views have one scale;
what is thinner than a character is still drawn one character thick.
"""

from collections.abc import Callable
from fractions import Fraction

from mixstation.plan.cut_outs import RectangularCutOut
from mixstation.plan.pieces import Piece
from mixstation.plan.shapes import Slab, Tray
from mixstation.plan.views import PieceView, views_of
from mixstation.units.clean import clean
from mixstation.units.show import DisplayUnits, show_length_mm

LEAST_COLUMN_COUNT = 30
LEAST_ROW_COUNT = 10

_LABEL_COLUMN_COUNT = 12
_MOST_LISTED_COUNT = 4
_NICE_STEPS = (1, 2, 5)


def draw_piece(
    piece: Piece, *, column_count: int = 72, row_count: int = 22, units: DisplayUnits = DisplayUnits.METRIC
) -> tuple[str, ...]:
    """Draw a piece from above and cut through, with its dimensions and a scale bar.

    Args:
        column_count: Characters across, at least 30 are taken.
        row_count: Lines, at least 10 are taken.

    Returns:
        Lines of at most `column_count` characters, at most `row_count` of them.

    Source: Choice: a character of common terminal type is twice as high as wide.

    Example:
        >>> from mixstation.plan.pieces import coats
        >>> plate = Piece(name="plate", shape=Slab(length_mm=800, width_mm=400), layers=coats(20))
        >>> for line in draw_piece(plate, column_count=40, row_count=14):
        ...     print(line)
        plate, from above
        |<-------- 800 mm -------->|
        ############################
        ############################
        ############################
        ############################  400 mm
        ############################
        ############################
        ############################
        from the side
        ############################  20 mm
        one coat 20 mm
        |-----| 200 mm
    """
    column_count, row_count = max(column_count, LEAST_COLUMN_COUNT), max(row_count, LEAST_ROW_COUNT)

    def length(mm: float) -> str:
        # A sixteenth of an inch is 1.5875 mm; a float would hide that it is one.
        return show_length_mm(Fraction(round(mm * 10_000), 10_000), units)

    views = views_of(piece)
    notes = _notes(piece, length)[: row_count - 2 * len(views) - 4]
    drawn_rows = row_count - len(notes) - 2 - len(views)
    mm_per_column = max(
        max(view.along_mm for view in views) / (column_count - _LABEL_COLUMN_COUNT),
        sum(view.across_mm for view in views) / (2 * max(len(views), drawn_rows - len(views) + 1)),
    )
    lines: list[str] = []
    for view in views:
        lines.append(f"{clean(piece.name, 40)}, {view.title}" if view is views[0] else view.title)
        rows = _rows(view, mm_per_column)
        if view is views[0]:
            lines.append(_dimension(length(view.along_mm), len(rows[0])))
        rows[len(rows) // 2] += f"  {length(view.across_mm)}"
        lines += rows
    lines += [*notes, _scale_bar(mm_per_column, column_count - _LABEL_COLUMN_COUNT, units)]
    return tuple(line.rstrip()[:column_count] for line in lines[:row_count])


def _rows(view: PieceView, mm_per_column: float) -> list[str]:
    columns = max(1, int(view.along_mm / mm_per_column + 1e-9))
    rows = max(1, int(view.across_mm / (2 * mm_per_column) + 1e-9))
    cell = view.along_mm / columns, view.across_mm / rows
    return [
        "".join(
            view.paint((column + 0.5) * cell[0], view.across_mm - (row + 0.5) * cell[1], cell)
            for column in range(columns)
        )
        for row in range(rows)
    ]


def _dimension(text: str, column_count: int) -> str:
    dashes = column_count - len(text) - 6
    if dashes < 2:
        return text
    return f"|<{'-' * (dashes - dashes // 2)} {text} {'-' * (dashes // 2)}>|"


def _scale_bar(mm_per_column: float, column_count: int, units: DisplayUnits) -> str:
    unit_mm = 1.0 if units is DisplayUnits.METRIC else 25.4
    sizes = [step * 10**power * unit_mm for power in range(5) for step in _NICE_STEPS]
    fitting = [size for size in sizes if 4 <= size / mm_per_column <= column_count / 3]
    size_mm = fitting[-1] if fitting else sizes[0]
    return f"|{'-' * max(0, round(size_mm / mm_per_column) - 2)}| {show_length_mm(size_mm, units)}"


def _notes(piece: Piece, length: Callable[[float], str]) -> list[str]:
    shape = piece.shape
    notes = []
    if isinstance(shape, Slab):
        for number, cut in enumerate(shape.cut_outs[:_MOST_LISTED_COUNT], start=1):
            size = (
                f"{length(cut.length_mm)} × {length(cut.width_mm)}"
                if isinstance(cut, RectangularCutOut)
                else f"diameter {length(cut.diameter_mm)}"
            )
            notes.append(f"{number}: {size} at {length(cut.x_mm)}, {length(cut.y_mm)}")
        if len(shape.cut_outs) > _MOST_LISTED_COUNT:
            notes.append(f"and {len(shape.cut_outs) - _MOST_LISTED_COUNT} more cut-outs")
    if isinstance(shape, Tray):
        sides = (
            ("front", shape.front_mm),
            ("back", shape.back_mm),
            ("left", shape.left_mm),
            ("right", shape.right_mm),
        )
        notes.append("returns: " + ", ".join(f"{side} {length(mm)}" for side, mm in sides if mm))
    rest = "the rest" if piece.face_layers else "solid"
    layers = [
        f"{layer.name} {rest if layer.thickness_mm is None else length(layer.thickness_mm)}"
        for layer in piece.layers
    ]
    return [clean(", ".join(layers), 100), *notes]
