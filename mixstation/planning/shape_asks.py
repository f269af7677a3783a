"""What is asked of each shape, and the piece that the answers make."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Final

from mixstation.plan.cut_outs import CutOut, RectangularCutOut, RoundCutOut
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
from mixstation.planning.ask import Ask, Value
from mixstation.station.view import EntryKind
from mixstation.units.numbers import read_mixed_number
from mixstation.units.plausible import RANGES
from mixstation.units.show import DisplayUnits, show_length_mm
from mixstation.units.tables import MM_PER_INCH
from mixstation.wording import planning as words

SOLIDS: Final = frozenset({"profile", "water fill"})

# What Enter takes, in mm and in inches. Source: Choice: a small yard's pieces.
_SIZES: Final[Mapping[str, tuple[tuple[str, int, str], ...]]] = {
    "slab": (("length", 900, "36"), ("width", 450, "18")),
    "slab with cut-outs": (("length", 900, "36"), ("width", 450, "18")),
    "disc": (("diameter", 450, "18"),),
    "ring": (("outer", 500, "20"), ("inner", 200, "8")),
    "tray": (
        ("length", 700, "28"),
        ("width", 450, "18"),
        ("front", 80, "3"),
        ("back", 80, "3"),
        ("left", 0, "0"),
        ("right", 0, "0"),
    ),
    "trough": (
        ("length", 900, "36"),
        ("top_width", 260, "10"),
        ("floor_width", 200, "8"),
        ("height", 220, "9"),
    ),
    "profile": (("length", 1000, "40"),),
}
_MAY_BE_NOUGHT: Final = frozenset({"front", "back", "left", "right"})
_CORNERS: Final = (
    ((0, "0"), (0, "0")),
    ((900, "36"), (0, "0")),
    ((900, "36"), (450, "18")),
    ((0, "0"), (450, "18")),
)
_SECTION: Final = (
    ((0, "0"), (0, "0")),
    ((150, "6"), (0, "0")),
    ((150, "6"), (40, "1 1/2")),
    ((0, "0"), (40, "1 1/2")),
)


class ShapeAsks:
    """The questions of one piece, from what was answered of it so far.

    Attributes:
        shape: What is cast; "" where it is no piece.
        asks: Every question from the first size to the face coat, in order.
        complete: Whether each of them has an answer or a usual one.
    """

    def __init__(self, prefix: str, given: Mapping[str, Value], units: DisplayUnits) -> None:
        """Work out the questions.

        Args:
            prefix: Begins the key of each answer.
            given: Answers by key.
            units: What lengths are asked in.
        """
        self._prefix, self._given, self._units = prefix, given, units
        self._values: dict[str, Value] = {}
        self._asks: list[Ask] = []
        shape = given.get(f"{prefix}shape")
        if shape == "other":
            shape = "water fill" if given.get("other") == "water fill" else ""
        self.shape = shape if isinstance(shape, str) else ""
        if self.shape:
            self._ask_all()
        self.asks = tuple(self._asks)
        self.complete = bool(self.asks) and all(value is not None for value in self._values.values())

    def piece(self, *, so_far: bool = False) -> Piece | None:
        """The piece, with the usual for what was not answered.

        Args:
            so_far: Leave out cut-outs whose place was not answered yet.

        Returns:
            A piece that may be impossible to cast; None while something is missing.
        """
        if not self.complete and not (so_far and self.shape == "slab with cut-outs"):
            return None
        count = self._given.get(f"{self._prefix}count")
        return Piece(
            name=self._name(),
            shape=self._shape(),
            layers=coats(None if self.shape in SOLIDS else self._amount("thickness"), self._amount("face")),
            count=count if isinstance(count, int) else 1,
        )

    def _ask_all(self) -> None:
        shape = self.shape
        if shape == "water fill":
            self._add("water", entry="mass", needed=True, limits="mould water")
            self._add(
                "water_temperature",
                entry="temperature",
                default=Fraction(18),
                limits="mould water temperature",
            )
        if shape in ("corners", "profile"):
            self._add_corners()
        for name, metric, us in _SIZES.get(shape, ()):
            nought = name in _MAY_BE_NOUGHT
            limits = "distance" if nought else "size"
            self._add_length(name, (metric, us), limits=limits, nought=words.NONE_THERE if nought else "")
        if shape == "trough":
            self._add("ends", lines=words.ENDS, default="closed")
        if shape == "slab with cut-outs":
            self._add_cut_outs()
        if shape not in SOLIDS:
            self._add_length("thickness", (18, "3/4"))
        self._add_length("face", (0, "0"), limits="face coat", nought=words.NO_FACE)
        if self._amount("face") and shape == "profile":
            self._add_length("faced", (190, "7 1/2"))
        if self._amount("face") and shape == "water fill":
            self._add_length("faced_length", (600, "24"))
            self._add_length("faced_width", (400, "16"))

    def _add_corners(self) -> None:
        detail = (words.DETAILS["corners"],)
        self._add("corner_count", entry="whole", default=4, limits="corner count", detail=detail)
        usual = _SECTION if self.shape == "profile" else _CORNERS
        for number in range(1, self._count("corner_count") + 1):
            for axis, name in enumerate(("corner_x", "corner_y")):
                size = usual[number - 1][axis] if number <= len(usual) else None
                self._add_length(f"{name}/{number}", size, limits="distance")

    def _add_cut_outs(self) -> None:
        self._add("cut_count", entry="whole", default=1, limits="cut-out count")
        for number in range(1, self._count("cut_count") + 1):
            self._add(f"cut_kind/{number}", lines=words.CUT_KINDS, default="round")
            form = str(self._values[f"cut_kind/{number}"])
            for name in ("cut_x", "cut_y"):
                self._add_length(f"{name}/{number}", None, limits="distance", place=words.CUT_PLACES[form])
            if form == "round":
                self._add_length(f"cut_diameter/{number}", (35, "1 3/8"))
            else:
                self._add_length(f"cut_length/{number}", (300, "12"))
                self._add_length(f"cut_width/{number}", (200, "8"))

    def _add_length(
        self,
        name: str,
        size: tuple[int, str] | None,
        *,
        limits: str = "size",
        nought: str = "",
        place: str = "",
    ) -> None:
        """Ask for a length; a side, a coat may be none at all, which then has its word."""
        self._add(
            name,
            entry="length",
            default=None if size is None else self._usual_mm(size),
            needed=size is None,
            limits=limits,
            none_words=nought,
            place=place,
        )

    def _add(
        self,
        name: str,
        *,
        entry: EntryKind = "whole",
        default: Value = None,
        needed: bool = False,
        limits: str = "",
        lines: Mapping[str, str] | None = None,
        none_words: str = "",
        detail: tuple[str, ...] = (),
        place: str = "",
    ) -> None:
        key = f"{self._prefix}{name}"
        kind, _, number = name.partition("/")
        more = words.DETAILS.get(kind)
        value = self._given.get(key, default)
        self._values[name] = value
        self._asks.append(
            Ask(
                key=key,
                ask=words.ASKS[kind].format(number=number, place=place),
                entry=entry,
                detail=(*detail, *((more,) if more else ())),
                lines=lines,
                default=value,
                needed=needed and value is None,
                least=RANGES[limits].least if limits else Fraction(0),
                most=RANGES[limits].most if limits else Fraction(0),
                none_words=none_words,
            )
        )

    def _shape(self) -> Shape:
        mm = self._amount
        match self.shape:
            case "slab":
                return Slab(length_mm=mm("length"), width_mm=mm("width"))
            case "slab with cut-outs":
                placed = [
                    at
                    for at in range(1, self._count("cut_count") + 1)
                    if None not in (self._values[f"cut_x/{at}"], self._values[f"cut_y/{at}"])
                ]
                cuts = tuple(self._cut_out(at) for at in placed)
                return Slab(length_mm=mm("length"), width_mm=mm("width"), cut_outs=cuts)
            case "disc":
                return Disc(diameter_mm=mm("diameter"))
            case "ring":
                return Ring(outer_diameter_mm=mm("outer"), inner_diameter_mm=mm("inner"))
            case "tray":
                sides = {f"{side}_mm": mm(side) for side in ("front", "back", "left", "right")}
                return Tray(length_mm=mm("length"), width_mm=mm("width"), **sides)
            case "trough":
                return Trough(
                    length_mm=mm("length"),
                    top_width_mm=mm("top_width"),
                    floor_width_mm=mm("floor_width"),
                    height_mm=mm("height"),
                    ends="open" if self._values["ends"] == "open" else "closed",
                )
            case "corners":
                return CornerShape(corners=self._corners())
            case "profile":
                faced_mm = mm("faced") if mm("face") else None
                return Profile(section=self._corners(), length_mm=mm("length"), faced_mm=faced_mm)
            case _:
                face_mm2 = mm("faced_length") * mm("faced_width") if mm("face") else None
                return WaterFill(
                    water_kg=self._amount("water") / 1e6,
                    water_c=self._amount("water_temperature"),
                    face_mm2=face_mm2,
                )

    def _corners(self) -> tuple[tuple[float, float], ...]:
        numbers = range(1, self._count("corner_count") + 1)
        return tuple((self._amount(f"corner_x/{at}"), self._amount(f"corner_y/{at}")) for at in numbers)

    def _cut_out(self, number: int) -> CutOut:
        x_mm, y_mm = self._amount(f"cut_x/{number}"), self._amount(f"cut_y/{number}")
        if self._values[f"cut_kind/{number}"] == "rectangular":
            return RectangularCutOut(
                x_mm=x_mm,
                y_mm=y_mm,
                length_mm=self._amount(f"cut_length/{number}"),
                width_mm=self._amount(f"cut_width/{number}"),
            )
        return RoundCutOut(x_mm=x_mm, y_mm=y_mm, diameter_mm=self._amount(f"cut_diameter/{number}"))

    def _name(self) -> str:
        """What a person would call it: its form and its first sizes."""
        sizes = [self._values[name] for name, _, _ in _SIZES.get(self.shape, ())][:2]
        lengths = [show_length_mm(size, self._units) for size in sizes if isinstance(size, Fraction)]
        return f"{words.SHAPE_NAMES[self.shape]} {' × '.join(lengths)}".strip()

    def _usual_mm(self, size: tuple[int, str]) -> Fraction:
        metric, us = size
        if self._units is DisplayUnits.METRIC:
            return Fraction(metric)
        return read_mixed_number(us) * MM_PER_INCH

    def _amount(self, name: str) -> float:
        """A quantity among the answers, in its own unit; 0 where it was not asked."""
        value = self._values.get(name)
        return float(value) if isinstance(value, Fraction | int) else 0.0

    def _count(self, name: str) -> int:
        value = self._values.get(name)
        return value if isinstance(value, int) else 0
