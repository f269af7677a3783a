"""What is asked of each shape, and the piece that the answers make."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Final, assert_never

from mixstation.plan.corners import Point
from mixstation.plan.cut_outs import CutOut
from mixstation.plan.pieces import Piece, coats
from mixstation.plan.shape_table import (
    CUT_OUTS,
    FACE_COAT_SIZE,
    SHAPES,
    THICKNESS,
    Form,
    Size,
    SizeValue,
    made,
    sides_of,
)
from mixstation.plan.shapes import Shape
from mixstation.planning.ask import Ask, Given
from mixstation.station.view import EntryKind
from mixstation.units.parse import parse_length_mm, parse_temperature_c
from mixstation.units.show import DisplayUnits, show_length_mm
from mixstation.wording import planning as words

MAX_CORNER_COUNT: Final = 20
MAX_CUT_COUNT: Final = 8
"""At the screen; a pieces file takes more. Source: Choice."""

WITH_CUT_OUTS: Final = "slab with cut-outs"
"""A slab whose cut-outs are asked for too."""


class ShapeAsks:
    """The questions of one piece, from what was answered of it so far.

    Attributes:
        shape: What is cast; "" where it is no piece.
        asks: Every question from the first size to the face coat, in order.
        complete: Whether each of them has an answer or a usual one.
    """

    def __init__(self, prefix: str, given: Mapping[str, Given], units: DisplayUnits) -> None:
        """Work out the questions; `prefix` begins the key of each answer."""
        self._prefix, self._given, self._units = prefix, given, units
        self._values: dict[str, Given] = {}
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
        """The piece, impossible or not, with the usual for what was not answered; None while something is missing.

        Args:
            so_far: Leave out cut-outs whose place was not answered yet.
        """
        if not self.complete and not (so_far and self.shape == WITH_CUT_OUTS):
            return None
        form, count = self._form, self._given.get(f"{self._prefix}count")
        more = {"cut_outs": self._cut_outs()} if self.shape == WITH_CUT_OUTS else {}
        return Piece(
            name=self._name(),
            shape=made(form, self._read(form), **more),
            layers=coats(
                None if form.is_solid else self._amount(THICKNESS.name), self._amount(FACE_COAT_SIZE.name)
            ),
            count=count if isinstance(count, int) else 1,
        )

    @property
    def _form(self) -> Form[Shape]:
        return SHAPES["slab" if self.shape == WITH_CUT_OUTS else self.shape]

    def _ask_all(self) -> None:
        form = self._form
        asked = [size for size in form.sizes if not size.each]
        for size in asked:
            if not size.only_faced:
                self._ask(size)
        if self.shape == WITH_CUT_OUTS:
            self._ask_cut_outs()
        if not form.is_solid:
            self._ask(THICKNESS)
        self._ask(FACE_COAT_SIZE)
        for size in asked:
            if size.only_faced and self._amount(FACE_COAT_SIZE.name):
                self._ask(size)

    def _ask(self, size: Size, *, of: str = "", at: str = "", place: str = "") -> None:
        """Ask for a size, of a piece or of one of its cut-outs.

        Args:
            of: Begins the key and the name of its question.
            at: Ends the key.
        """
        name, limits = f"{of}{size.name}{at}", size.range
        usual = size.usual[0 if self._units is DisplayUnits.METRIC else 1]
        match size.measure:
            case "length":
                nought = words.NOUGHT.get(size.name, words.NONE_THERE) if size.may_be_nought else ""
                default = _length_mm(usual)
                self._add(name, "length", default, least=limits.least, most=limits.most, none_words=nought)
            case "place":
                # A number pad at the screen has no key for what lies before the edge.
                self._add(name, "length", None, most=limits.most, place=place)
            case "area":
                for side, side_usual in zip(("length", "width"), sides_of(usual), strict=True):
                    default = _length_mm(side_usual)
                    self._add(f"{name}_{side}", "length", default, least=limits.least, most=limits.most)
            case "corners":
                self._ask_corners(limits.most, *map(_length_mm, sides_of(usual)))
            case "choice":
                self._add(name, "whole", size.choices[0], lines=words.CHOICES[size.name])
            case "mass":
                self._add(name, "mass", None, least=limits.least, most=limits.most)
            case "temperature":
                default = parse_temperature_c(usual)
                self._add(name, "temperature", default, least=limits.least, most=limits.most)
            case _ as forgotten:
                assert_never(forgotten)

    def _ask_corners(self, most_mm: Fraction, along_mm: Fraction, across_mm: Fraction) -> None:
        nought = Fraction(0)
        usual = ((nought, nought), (along_mm, nought), (along_mm, across_mm), (nought, across_mm))
        self._add("corner_count", "whole", len(usual), least=Fraction(3), most=Fraction(MAX_CORNER_COUNT))
        for number in range(1, self._count("corner_count") + 1):
            corner = usual[number - 1] if number <= len(usual) else (None, None)
            for name, default in zip(("corner_x", "corner_y"), corner, strict=True):
                self._add(f"{name}/{number}", "length", default, most=most_mm)

    def _ask_cut_outs(self) -> None:
        self._add("cut_count", "whole", 1, least=Fraction(1), most=Fraction(MAX_CUT_COUNT))
        for number in range(1, self._count("cut_count") + 1):
            self._add(f"cut_kind/{number}", "whole", next(iter(CUT_OUTS)), lines=words.CHOICES["cut_kind"])
            kind = str(self._values[f"cut_kind/{number}"])
            for size in CUT_OUTS[kind].sizes:
                self._ask(size, of="cut_", at=f"/{number}", place=words.CUT_PLACES[kind])

    def _add(
        self,
        name: str,
        entry: EntryKind,
        default: Given,
        *,
        least: Fraction = Fraction(0),
        most: Fraction = Fraction(0),
        lines: Mapping[str, str] | None = None,
        none_words: str = "",
        place: str = "",
    ) -> None:
        """Ask; what has no usual answer must be answered."""
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
                detail=(more,) if more else (),
                lines=lines,
                default=value,
                needed=value is None,
                least=least,
                most=most,
                none_words=none_words,
            )
        )

    def _read(self, form: Form[Shape] | Form[CutOut], of: str = "", at: str = "") -> dict[str, SizeValue]:
        """The sizes of a form that were asked for, by name."""
        values: dict[str, SizeValue] = {}
        for size in form.sizes:
            name = f"{of}{size.name}{at}"
            if size.measure == "corners":
                values[size.name] = self._corners()
            elif size.measure == "area" and f"{name}_length" in self._values:
                values[size.name] = self._amount(f"{name}_length") * self._amount(f"{name}_width")
            elif (value := self._values.get(name)) is not None:
                values[size.name] = value
        return values

    def _corners(self) -> tuple[Point, ...]:
        numbers = range(1, self._count("corner_count") + 1)
        return tuple((self._amount(f"corner_x/{at}"), self._amount(f"corner_y/{at}")) for at in numbers)

    def _cut_outs(self) -> tuple[CutOut, ...]:
        """Those that have their place."""
        cuts = []
        for number in range(1, self._count("cut_count") + 1):
            form = CUT_OUTS[str(self._values[f"cut_kind/{number}"])]
            values = self._read(form, of="cut_", at=f"/{number}")
            if "x" in values and "y" in values:
                cuts.append(made(form, values))
        return tuple(cuts)

    def _name(self) -> str:
        """What a person would call it: its form and its first sizes."""
        named = [size.name for size in self._form.sizes if size.measure == "length" and not size.only_faced]
        lengths = [self._values[name] for name in named if name in self._values][:2]
        shown = [show_length_mm(size, self._units) for size in lengths if isinstance(size, Fraction)]
        return f"{words.SHAPE_NAMES[self.shape]} {' × '.join(shown)}".strip()

    def _amount(self, name: str) -> float:
        """A quantity among the answers, in its own unit; 0 where it was not asked."""
        value = self._values.get(name)
        return float(value) if isinstance(value, Fraction | int) else 0.0

    def _count(self, name: str) -> int:
        value = self._values.get(name)
        return value if isinstance(value, int) else 0


def _length_mm(usual: str) -> Fraction:
    return Fraction(parse_length_mm(usual))
