"""Every shape in one table: its sizes, what each is measured in, what is usual, and what is made of them.

The pieces file, the questions at the screen, the options of the command line and the faults of sizes all read it. A new
shape is an entry here, its class with its volume in `mixstation.plan.shapes` and its views in
`mixstation.plan.views`; tests and the type checker name the words it still lacks.
"""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from types import MappingProxyType
from typing import Final, Generic, Literal, TypeVar

from mixstation.frozen import Frozen
from mixstation.plan import shapes
from mixstation.plan.corners import Point
from mixstation.plan.cut_outs import CutOut, RectangularCutOut, RoundCutOut
from mixstation.plan.faults_of_pieces import SizeFault, SizeNotPositive, SizeTooLarge
from mixstation.units.plausible import RANGES, Range

Measure = Literal["length", "place", "area", "corners", "choice", "mass", "temperature"]
"""What a size is; a place is a length that may lie on either side."""

SizeValue = Fraction | float | str | tuple[Point, ...]
"""A size as read: mm, mm², mg, °C, one of a few words, or corners in mm."""

_Made = TypeVar("_Made", bound=shapes.Shape | CutOut)


class Size(Frozen):
    """One size of a shape.

    Attributes:
        name: Its key in a pieces file and at the screen; with blanks for "_" its name in words.
        field: Field of the shape it sets; "" where it sets those of `each`.
        usual: What Enter takes at the screen, metric and US; "" where nothing is usual. Of corners and of an area the
            length by the width of a rectangle.
        example: What a pieces file may say, where that is not the usual.
        may_be_nought: 0 stands for none at all.
        each: Sizes that this one sets all together.
        only_faced: It is needed for a face coat alone.
        choices: The words of a choice, the usual first.
    """

    name: str
    field: str = ""
    measure: Measure = "length"
    usual: tuple[str, str] = ("", "")
    example: str = ""
    optional: bool = False
    may_be_nought: bool = False
    each: tuple[str, ...] = ()
    only_faced: bool = False
    choices: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """What it is called. Source: Definition."""
        return self.name.replace("_", " ")

    @property
    def range(self) -> Range:
        """What it may be; of corners, of each side of an area the lengths. Source: Definition."""
        match self.measure:
            case "mass":
                return RANGES["mould water"]
            case "temperature":
                return RANGES["mould water temperature"]
            case "place" | "corners":
                return RANGES["place"]
            case "length" | "area" | "choice":
                if self.name == FACE_COAT_SIZE.name:
                    return RANGES["face coat"]
                return RANGES["distance" if self.may_be_nought else "size"]


class Form(Frozen, Generic[_Made]):
    """A shape by its sizes; a solid one is filled, so it has no thickness."""

    make: Callable[..., _Made]
    sizes: tuple[Size, ...]
    is_solid: bool = False

    @property
    def in_one_line(self) -> tuple[Size, ...]:
        """The sizes written one after the other on a command line, thickness last; none where lengths do not do."""
        needed = [size for size in self.sizes if size.each or not size.optional]
        if self.is_solid or any(size.measure != "length" for size in needed):
            return ()
        return (*needed, THICKNESS)


THICKNESS: Final = Size(name="thickness", usual=("18 mm", "3/4 in"))
FACE_COAT_SIZE: Final = Size(
    name="face_coat", usual=("0 mm", "0 in"), example="3 mm", optional=True, may_be_nought=True
)

_SIDES: Final = ("front", "back", "left", "right")


def _length(name: str, metric: str, us: str) -> Size:
    return Size(name=name, field=f"{name}_mm", usual=(metric, us))


def _side(name: str, metric: str, us: str) -> Size:
    return replace(_length(name, metric, us), example="80 mm", optional=True, may_be_nought=True)


def _place(name: str, example: str) -> Size:
    return Size(name=name, field=f"{name}_mm", measure="place", example=example)


def _corners(name: str, metric: str, us: str) -> Size:
    return Size(name=name, field=name, measure="corners", usual=(metric, us))


def _faced(size: Size) -> Size:
    return replace(size, optional=True, only_faced=True)


SHAPES: Final[Mapping[str, Form[shapes.Shape]]] = MappingProxyType(
    {
        "slab": Form(
            make=shapes.Slab,
            sizes=(_length("length", "900 mm", "36 in"), _length("width", "450 mm", "18 in")),
        ),
        "disc": Form(make=shapes.Disc, sizes=(_length("diameter", "450 mm", "18 in"),)),
        "ring": Form(
            make=shapes.Ring,
            sizes=(
                _length("outer_diameter", "500 mm", "20 in"),
                _length("inner_diameter", "200 mm", "8 in"),
            ),
        ),
        "tray": Form(
            make=shapes.Tray,
            sizes=(
                _length("length", "700 mm", "28 in"),
                _length("width", "450 mm", "18 in"),
                Size(name="returns", each=_SIDES, example="80 mm", optional=True),
                _side("front", "80 mm", "3 in"),
                _side("back", "80 mm", "3 in"),
                _side("left", "0 mm", "0 in"),
                _side("right", "0 mm", "0 in"),
            ),
        ),
        "trough": Form(
            make=shapes.Trough,
            sizes=(
                _length("length", "900 mm", "36 in"),
                _length("top_width", "260 mm", "10 in"),
                _length("floor_width", "200 mm", "8 in"),
                _length("height", "220 mm", "9 in"),
                Size(name="ends", field="ends", measure="choice", optional=True, choices=("closed", "open")),
            ),
        ),
        "corners": Form(
            make=shapes.CornerShape, sizes=(_corners("corners", "900 mm by 450 mm", "36 in by 18 in"),)
        ),
        "profile": Form(
            make=shapes.Profile,
            is_solid=True,
            sizes=(
                _corners("section", "150 mm by 40 mm", "6 in by 1 1/2 in"),
                _length("length", "1000 mm", "40 in"),
                _faced(_length("faced", "190 mm", "7 1/2 in")),
            ),
        ),
        "water fill": Form(
            make=shapes.WaterFill,
            is_solid=True,
            sizes=(
                Size(name="water", field="water_kg", measure="mass", example="12.4 kg"),
                Size(
                    name="water_temperature",
                    field="water_c",
                    measure="temperature",
                    usual=("18 °C", "64.4 °F"),
                ),
                _faced(
                    Size(
                        name="faced",
                        field="face_mm2",
                        measure="area",
                        usual=("600 mm by 400 mm", "24 in by 16 in"),
                    )
                ),
            ),
        ),
    }
)

CUT_OUTS: Final[Mapping[str, Form[CutOut]]] = MappingProxyType(
    {
        "round": Form(
            make=RoundCutOut,
            sizes=(_place("x", "120 mm"), _place("y", "80 mm"), _length("diameter", "35 mm", "1 3/8 in")),
        ),
        "rectangular": Form(
            make=RectangularCutOut,
            sizes=(
                _place("x", "120 mm"),
                _place("y", "80 mm"),
                _length("length", "300 mm", "12 in"),
                _length("width", "200 mm", "8 in"),
            ),
        ),
    }
)
"""What may be cut out of a slab."""


def made(form: Form[_Made], values: Mapping[str, SizeValue], **more: object) -> _Made:
    """A shape, or a cut-out, of its sizes; it may be impossible, see `mixstation.plan.pieces.piece_faults`.

    Args:
        form: Which; of `SHAPES` or `CUT_OUTS`.
        values: What was read, by the size's name: mm, mm², mg, °C, a word, corners in mm.

    Example:
        >>> made(SHAPES["tray"], {"length": 500, "width": 300, "returns": 80}).left_mm
        80.0
    """
    fields: dict[str, object] = {}
    for size in form.sizes:
        if size.name not in values:
            continue
        value = _as_field(size, values[size.name])
        names = [each.field for each in form.sizes if each.name in size.each] if size.each else [size.field]
        fields |= dict.fromkeys(names, value)
    return form.make(**fields, **more)


def _as_field(size: Size, value: SizeValue) -> object:
    if isinstance(value, str | tuple):
        return value
    return float(Fraction(value) / 10**6) if size.measure == "mass" else float(value)


def sides_of(rectangle: str) -> tuple[str, str]:
    """The two lengths of a rectangle as it stands in the table, "900 mm by 450 mm". Source: Definition."""
    along, _, across = rectangle.partition(" by ")
    return along, across


def size_faults(shape: shapes.Shape) -> tuple[SizeFault, ...]:
    """What is wrong with the sizes of a shape, each taken by itself; how they go together the shape looks at."""
    form = next(form for form in SHAPES.values() if form.make is type(shape))
    faults = list(_faults(shape, form.sizes))
    for cut in shape.cut_outs if isinstance(shape, shapes.Slab) else ():
        faults += _faults(cut, next(form for form in CUT_OUTS.values() if form.make is type(cut)).sizes)
    return tuple(faults)


def _faults(shape: shapes.Shape | CutOut, sizes: Sequence[Size]) -> Iterator[SizeFault]:
    for size in sizes:
        # A place may be anywhere: whether the slab holds the cut-out is looked at as a whole, as is a temperature.
        found = (
            getattr(shape, size.field)
            if size.field and size.measure not in ("place", "temperature")
            else None
        )
        if not isinstance(found, float | int):
            continue
        if not (math.isfinite(found) and (found > 0 or (found == 0 and size.may_be_nought))):
            yield SizeNotPositive(size=size.words, found=found)
        elif size.measure == "length" and found > shapes.MAX_SIZE_MM:
            yield SizeTooLarge(size=size.words, found_mm=found, limit_mm=shapes.MAX_SIZE_MM)
