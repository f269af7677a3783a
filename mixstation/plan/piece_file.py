"""Read the pieces of a job from TOML text; every fault on its line, all together."""

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final, assert_never

from mixstation.plan.corners import Point
from mixstation.plan.cut_outs import CutOut
from mixstation.plan.faults_of_files import AreaForm, CornerForm, CornersForm, Plain
from mixstation.plan.pieces import MAX_PIECE_COUNT, Piece, coats, piece_faults
from mixstation.plan.shape_table import CUT_OUTS, FACE_COAT_SIZE, SHAPES, THICKNESS, Size, made, sides_of
from mixstation.plan.shapes import MAX_CORNER_COUNT
from mixstation.toml.quantities import QuantityError, Read, bounded, count, one_of, words
from mixstation.toml.table import Key, Keys, Table, TableKey, file_table, note_twins
from mixstation.units.parse import parse_length_mm, parse_mass_mg, parse_temperature_c

MAX_KIND_COUNT: Final = 50
MAX_CUT_OUT_COUNT: Final = 50


def _area_mm2(value: object, side: Read) -> Fraction:
    """A faced area as length by width, "900 mm by 450 mm"."""
    text = words(60)(value)
    along, by, across = text.partition(" by ")
    if not by:
        raise QuantityError(AreaForm(found=text))
    return side(along) * side(across)


def _corners(value: object, place: Read) -> tuple[Point, ...]:
    """Corners, each a pair of lengths."""
    if not isinstance(value, list) or not 3 <= len(value) <= MAX_CORNER_COUNT:
        raise QuantityError(CornersForm(limit_count=MAX_CORNER_COUNT))
    pairs = []
    for number, pair in enumerate(value, start=1):
        if not isinstance(pair, list) or len(pair) != 2:
            raise QuantityError(CornerForm(corner_number=number))
        pairs.append((float(place(pair[0])), float(place(pair[1]))))
    return tuple(pairs)


def _key(size: Size) -> Key:
    """How a size is written."""
    limits = size.range
    length = bounded(parse_length_mm, limits.bounds, limits.least, limits.most)
    example = f'"{size.example or size.usual[0]}"'
    match size.measure:
        case "length" | "place":
            return Key(read=length, example=example, optional=size.optional)
        case "area":
            return Key(read=lambda value: _area_mm2(value, length), example=example, optional=size.optional)
        case "corners":
            along, across = sides_of(size.usual[0])
            example = f'[["0 mm", "0 mm"], ["{along}", "0 mm"], ["0 mm", "{across}"]]'
            return Key(read=lambda value: _corners(value, length), example=example, optional=size.optional)
        case "choice":
            return Key(read=one_of(*size.choices), example=f'"{size.choices[0]}"', optional=size.optional)
        case "mass":
            mass = bounded(parse_mass_mg, limits.bounds, limits.least, limits.most)
            return Key(read=mass, example=example, optional=size.optional)
        case "temperature":
            warmth = bounded(parse_temperature_c, limits.bounds, limits.least, limits.most)
            return Key(read=warmth, example=example, optional=size.optional)
    assert_never(size.measure)


KEYS: Final[Mapping[str, Mapping[str, Key]]] = MappingProxyType(
    {
        name: {size.name: _key(size) for size in (*form.sizes, *(() if form.is_solid else (THICKNESS,)))}
        for name, form in SHAPES.items()
    }
)
"""The keys of each shape, besides name, count, shape and face coat."""

_COMMON: Final[Keys] = {
    "name": Key(read=words(60), example='"hearth plate"'),
    "count": Key(read=count(1, MAX_PIECE_COUNT), example="2", optional=True),
    "shape": Key(read=one_of(*KEYS), example='"slab"'),
    FACE_COAT_SIZE.name: _key(FACE_COAT_SIZE),
}
_CUT_OUT = TableKey(example="[[piece.cut_out]]", optional=True, limit_count=MAX_CUT_OUT_COUNT)
_ALL_KEYS: Final[Mapping[str, Keys]] = {**KEYS, "slab": {**KEYS["slab"], "cut_out": _CUT_OUT}}
_PIECES: Final[Keys] = {"piece": TableKey(example="[[piece]]", limit_count=MAX_KIND_COUNT)}

# Which of them a cut-out must have depends on what it is; that is looked at once they are read.
_CUT_OUT_KEYS: Final[Mapping[str, Key]] = {
    size.name: Key(read=_key(size).read, example=_key(size).example, optional=size.measure != "place")
    for form in CUT_OUTS.values()
    for size in form.sizes
}


def read_pieces(text: str, path: str) -> tuple[Piece, ...]:
    """Read the pieces of a job, in the order of the file; all of them can be cast.

    Raises:
        FileRefused: All that is wrong with the file, or else with the pieces.

    Example:
        >>> cap = '[[piece]]\\nname = "cap"\\nshape = "disc"\\ndiameter = "400 mm"\\nthickness = "15 mm"\\n'
        >>> [(piece.name, piece.count) for piece in read_pieces(cap, "caps.toml")]
        [('cap', 1)]
    """
    top = file_table(text, path)
    tables = top.read(_PIECES).get("piece", ())
    pieces = [_piece(table) for table in tables]
    note_twins(tables)
    if not top.is_sound:
        raise top.refusal()
    return tuple(piece for piece in pieces if piece is not None)


def _piece(table: Table) -> Piece | None:
    shape_name = table.read_kind("shape", _ALL_KEYS, _COMMON)
    if not shape_name:
        return None
    form, values = SHAPES[shape_name], table.values
    cuts = tuple(cut for each in values.get("cut_out", ()) if (cut := _cut_out(each)) is not None)
    more = {"cut_outs": cuts} if shape_name == "slab" else {}
    for size in form.sizes:
        if size.name in values and any(each in values for each in size.each):
            table.fault(size.name, Plain.RETURNS_TWICE)
    if not table.is_sound:
        return None
    thickness = values.get(THICKNESS.name)
    piece = Piece(
        name=values["name"],
        count=values.get("count", 1),
        shape=made(form, values, **more),
        layers=coats(
            None if thickness is None else float(thickness), float(values.get(FACE_COAT_SIZE.name, 0))
        ),
    )
    for fault in piece_faults(piece):
        table.fault(None, fault)
    return piece


def _cut_out(table: Table) -> CutOut | None:
    values = table.read(_CUT_OUT_KEYS)
    if not table.is_sound:
        return None
    for form in CUT_OUTS.values():
        if {size.name for size in form.sizes} == values.keys():
            return made(form, values)
    table.fault(None, Plain.CUT_OUT_FORM)
    return None
