"""Read the pieces of a job from TOML text; every fault on its line, all together."""

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Any, Final, cast

from mixstation.plan.cut_outs import CutOut, RectangularCutOut, RoundCutOut
from mixstation.plan.pieces import MAX_PIECE_COUNT, Piece, coats, piece_faults
from mixstation.plan.shapes import (
    MAX_CORNER_COUNT,
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
from mixstation.recipe.faults import Faults
from mixstation.recipe.key_table import Key, read_keys, tables_of
from mixstation.recipe.quantities import QuantityError, not_one_of, one_of, within, words
from mixstation.recipe.twins import note_twins
from mixstation.toml_lines import FileRefused, KeyPath, parse_toml
from mixstation.units.show import trimmed

MAX_KIND_COUNT: Final = 50
MAX_CUT_OUT_COUNT: Final = 50

size: Final = within("size")
place: Final = within("place")


def count(value: object) -> int:
    """Reader of a bare whole number of pieces."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise QuantityError("not-number", found=str(value)[:20])
    if not 1 <= value <= MAX_PIECE_COUNT:
        # Python refuses to print an integer of many thousand digits.
        found = str(value) if abs(value) < 10**9 else "999999999"
        raise QuantityError("out-of-range", found=found, bounds=f"≥ 1, ≤ {MAX_PIECE_COUNT}", suggestion="")
    return value


def area_mm2(value: object) -> Fraction:
    """Reader of a faced area as length by width, "900 mm by 450 mm"."""
    text = words(60)(value)
    along, by, across = text.partition(" by ")
    if not by:
        raise QuantityError("area-form", found=text)
    return size(along) * size(across)


def points(value: object) -> tuple[tuple[float, float], ...]:
    """Reader of corners, each a pair of lengths."""
    if not isinstance(value, list) or not 3 <= len(value) <= MAX_CORNER_COUNT:
        raise QuantityError("corners-form", limit=str(MAX_CORNER_COUNT))
    pairs = []
    for number, pair in enumerate(value, start=1):
        if not isinstance(pair, list) or len(pair) != 2:
            raise QuantityError("corner-form", corner=str(number))
        pairs.append((float(place(pair[0])), float(place(pair[1]))))
    return tuple(pairs)


_SIZE = Key(read=size, example='"600 mm"')
_OPTIONAL_SIZE = Key(read=size, example='"80 mm"', optional=True)
_COMMON: Final[Mapping[str, Key]] = {
    "name": Key(read=words(60), example='"hearth plate"'),
    "count": Key(read=count, example="2", optional=True),
    "shape": Key(read=words(20), example='"slab"'),
    "face_coat": Key(read=size, example='"3 mm"', optional=True),
}
_THICKNESS: Final[Mapping[str, Key]] = {"thickness": Key(read=size, example='"15 mm"')}
_CORNERS = Key(read=points, example='[["0 mm", "0 mm"], ["600 mm", "0 mm"], ["0 mm", "400 mm"]]')
_TROUGH_ENDS = Key(read=one_of("closed", "open"), example='"closed"', optional=True)
_RETURNS = ("returns", "front", "back", "left", "right")

KEYS: Final[Mapping[str, Mapping[str, Key]]] = MappingProxyType(
    {
        "slab": {"length": _SIZE, "width": _SIZE, **_THICKNESS},
        "disc": {"diameter": _SIZE, **_THICKNESS},
        "ring": {"outer_diameter": _SIZE, "inner_diameter": _SIZE, **_THICKNESS},
        "corners": {"corners": _CORNERS, **_THICKNESS},
        "tray": {"length": _SIZE, "width": _SIZE, **dict.fromkeys(_RETURNS, _OPTIONAL_SIZE), **_THICKNESS},
        "trough": {
            "length": _SIZE,
            "top_width": _SIZE,
            "floor_width": _SIZE,
            "height": _SIZE,
            "ends": _TROUGH_ENDS,
            **_THICKNESS,
        },
        "profile": {"section": _CORNERS, "length": _SIZE, "faced": _OPTIONAL_SIZE},
        "water fill": {
            "water": Key(read=within("mould water"), example='"12.4 kg"'),
            "water_temperature": Key(read=within("mould water temperature"), example='"18 °C"'),
            "faced": Key(read=area_mm2, example='"900 mm by 450 mm"', optional=True),
        },
    }
)
"""The keys of each shape, besides name, count, shape and face coat."""

_CUT_OUT_KEYS: Final[Mapping[str, Key]] = {
    "x": Key(read=place, example='"120 mm"'),
    "y": Key(read=place, example='"80 mm"'),
    "length": _OPTIONAL_SIZE,
    "width": _OPTIONAL_SIZE,
    "diameter": _OPTIONAL_SIZE,
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
    note_twins(
        ((("piece", at, "name"), piece.name) for at, piece in enumerate(pieces) if piece is not None), faults
    )
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
    nested = frozenset({"cut_out"} if shape_name == "slab" else ())
    values = read_keys(table, at, {**_COMMON, **KEYS[shape_name]}, faults, nested=nested)
    cuts = _cut_outs(table, at, faults) if shape_name == "slab" else ()
    if shape_name == "tray" and "returns" in values and any(side in values for side in _RETURNS[1:]):
        faults.add((*at, "returns"), "returns-twice")
    if len(faults.found) > before:
        return None
    thickness, face = values.get("thickness"), values.get("face_coat", 0)
    piece = Piece(
        name=values["name"],
        count=values.get("count", 1),
        shape=_shape(shape_name, values, cuts),
        layers=coats(None if thickness is None else float(thickness), float(face)),
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
        values = {key: float(value) for key, value in read_keys(cut, here, _CUT_OUT_KEYS, faults).items()}
        if len(faults.found) > before:
            continue
        given = values.keys() - {"x", "y"}
        if given == {"diameter"}:
            cuts.append(RoundCutOut(x_mm=values["x"], y_mm=values["y"], diameter_mm=values["diameter"]))
        elif given == {"length", "width"}:
            cuts.append(
                RectangularCutOut(
                    x_mm=values["x"], y_mm=values["y"], length_mm=values["length"], width_mm=values["width"]
                )
            )
        else:
            faults.add(here, "cut-out-form")
    return tuple(cuts)


def _shape(name: str, values: Mapping[str, Any], cuts: tuple[CutOut, ...]) -> Shape:
    def mm(key: str, default: float = 0.0) -> float:
        return float(values.get(key, default))

    match name:
        case "slab":
            return Slab(length_mm=mm("length"), width_mm=mm("width"), cut_outs=cuts)
        case "disc":
            return Disc(diameter_mm=mm("diameter"))
        case "ring":
            return Ring(outer_diameter_mm=mm("outer_diameter"), inner_diameter_mm=mm("inner_diameter"))
        case "corners":
            return CornerShape(corners=values["corners"])
        case "tray":
            sides = {f"{side}_mm": mm(side, mm("returns")) for side in _RETURNS[1:]}
            return Tray(length_mm=mm("length"), width_mm=mm("width"), **sides)
        case "trough":
            return Trough(
                length_mm=mm("length"),
                top_width_mm=mm("top_width"),
                floor_width_mm=mm("floor_width"),
                height_mm=mm("height"),
                ends=values.get("ends", "closed"),
            )
        case "profile":
            faced_mm = mm("faced") if "faced" in values else None
            return Profile(section=values["section"], length_mm=mm("length"), faced_mm=faced_mm)
        case _:
            return WaterFill(
                water_kg=float(cast(Fraction, values["water"]) / 10**6),
                water_c=float(values["water_temperature"]),
                face_mm2=float(values["faced"]) if "faced" in values else None,
            )
