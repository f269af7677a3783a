"""Read the pieces of a job from TOML text; every fault on its line, all together."""

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Any, Final, assert_never

from mixstation.plan.corners import Point
from mixstation.plan.cut_outs import CutOut
from mixstation.plan.pieces import MAX_PIECE_COUNT, Piece, coats, piece_faults
from mixstation.plan.shape_table import CUT_OUTS, FACE_COAT, SHAPES, THICKNESS, Size, made, sides_of
from mixstation.plan.shapes import MAX_CORNER_COUNT
from mixstation.recipe.faults import Faults
from mixstation.recipe.key_table import Key, read_keys, tables_of
from mixstation.recipe.quantities import QuantityError, Read, bounded, not_one_of, one_of, words
from mixstation.toml_lines import FileRefused, KeyPath, parse_toml
from mixstation.units.parse import parse_length_mm, parse_mass_mg, parse_temperature_c
from mixstation.units.show import trimmed

MAX_KIND_COUNT: Final = 50
MAX_CUT_OUT_COUNT: Final = 50


def _count(value: object) -> int:
    """A bare whole number of pieces."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise QuantityError("not-number", found=str(value)[:20])
    if not 1 <= value <= MAX_PIECE_COUNT:
        # Python refuses to print an integer of many thousand digits.
        found = str(value) if abs(value) < 10**9 else "999999999"
        raise QuantityError("out-of-range", found=found, bounds=f"≥ 1, ≤ {MAX_PIECE_COUNT}", suggestion="")
    return value


def _area_mm2(value: object, side: Read) -> Fraction:
    """A faced area as length by width, "900 mm by 450 mm"."""
    text = words(60)(value)
    along, by, across = text.partition(" by ")
    if not by:
        raise QuantityError("area-form", found=text)
    return side(along) * side(across)


def _corners(value: object, place: Read) -> tuple[Point, ...]:
    """Corners, each a pair of lengths."""
    if not isinstance(value, list) or not 3 <= len(value) <= MAX_CORNER_COUNT:
        raise QuantityError("corners-form", limit=str(MAX_CORNER_COUNT))
    pairs = []
    for number, pair in enumerate(value, start=1):
        if not isinstance(pair, list) or len(pair) != 2:
            raise QuantityError("corner-form", corner=str(number))
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


_COMMON: Final[Mapping[str, Key]] = {
    "name": Key(read=words(60), example='"hearth plate"'),
    "count": Key(read=_count, example="2", optional=True),
    "shape": Key(read=words(20), example='"slab"'),
    FACE_COAT.name: _key(FACE_COAT),
}

KEYS: Final[Mapping[str, Mapping[str, Key]]] = MappingProxyType(
    {
        name: {size.name: _key(size) for size in (*form.sizes, *(() if form.is_solid else (THICKNESS,)))}
        for name, form in SHAPES.items()
    }
)
"""The keys of each shape, besides name, count, shape and face coat."""

# Which of them a cut-out must have depends on what it is; that is looked at once they are read.
_CUT_OUT_KEYS: Final[Mapping[str, Key]] = {
    size.name: Key(read=_key(size).read, example=_key(size).example, optional=size.measure != "place")
    for form in CUT_OUTS.values()
    for size in form.sizes
}


def read_pieces(text: str, path: str) -> tuple[Piece, ...]:
    """Read the pieces of a job.

    Args:
        text: TOML text with one `[[piece]]` for each kind of piece.
        path: Where it is from; only named in faults.

    Returns:
        The pieces in the order of the file, all of them possible to cast.

    Raises:
        FileRefused: Codes of `mixstation.toml_lines`, of `mixstation.recipe.quantities.QuantityError`, of
            `piece_faults`, and "key-missing", "unknown-key", "not-tables", "too-many", "area-form", "corners-form",
            "corner-form", "returns-twice", "cut-out-form".

    Example:
        >>> cap = '[[piece]]\\nname = "cap"\\nshape = "disc"\\ndiameter = "400 mm"\\nthickness = "15 mm"\\n'
        >>> [(piece.name, piece.count) for piece in read_pieces(cap, "caps.toml")]
        [('cap', 1)]
    """
    document, lines = parse_toml(text, path)
    faults = Faults(text, path, lines)
    for name in document.keys() - {"piece"}:
        faults.add_unknown_key((name,), ["piece"])
    tables = tables_of(document, (), "piece", MAX_KIND_COUNT, faults)
    if not tables and not faults.found:
        faults.add(("piece",), "key-missing", example="[[piece]]")
    pieces = [_piece(table, ("piece", at), faults) for at, table in enumerate(tables)]
    if faults.found:
        raise FileRefused(faults.found)
    return tuple(piece for piece in pieces if piece is not None)


def _piece(table: Mapping[str, Any], at: KeyPath, faults: Faults) -> Piece | None:
    before = len(faults.found)
    shape_name = table.get("shape", "")
    if shape_name not in KEYS or not isinstance(shape_name, str):
        read_keys(table, at, {"shape": _COMMON["shape"]}, faults, ignore_rest=True)
        if len(faults.found) == before:
            error = not_one_of(shape_name, KEYS)
            faults.add((*at, "shape"), error.code, **error.values)
        return None
    form = SHAPES[shape_name]
    nested = frozenset({"cut_out"} if shape_name == "slab" else ())
    values = read_keys(table, at, {**_COMMON, **KEYS[shape_name]}, faults, nested=nested)
    more = {"cut_outs": _cut_outs(table, at, faults)} if shape_name == "slab" else {}
    for size in form.sizes:
        if size.name in values and any(each in values for each in size.each):
            faults.add((*at, size.name), "returns-twice")
    if len(faults.found) > before:
        return None
    thickness = values.get(THICKNESS.name)
    piece = Piece(
        name=values["name"],
        count=values.get("count", 1),
        shape=made(form, values, **more),
        layers=coats(None if thickness is None else float(thickness), float(values.get(FACE_COAT.name, 0))),
    )
    for fault in piece_faults(piece):
        as_text = {
            name: value if isinstance(value, str) else trimmed(value, 2)
            for name, value in fault.values.items()
        }
        faults.add(at, fault.code, **{"piece": piece.name, **as_text})
    return piece


def _cut_outs(table: Mapping[str, Any], at: KeyPath, faults: Faults) -> tuple[CutOut, ...]:
    cuts: list[CutOut] = []
    for index, cut in enumerate(tables_of(table, at, "cut_out", MAX_CUT_OUT_COUNT, faults)):
        here = (*at, "cut_out", index)
        before = len(faults.found)
        values = read_keys(cut, here, _CUT_OUT_KEYS, faults)
        if len(faults.found) > before:
            continue
        forms = [form for form in CUT_OUTS.values() if {size.name for size in form.sizes} == values.keys()]
        if forms:
            cuts.append(made(forms[0], values))
        else:
            faults.add(here, "cut-out-form")
    return tuple(cuts)
