"""What can be wrong with a file of pieces, the shop's settings or a log of temperatures besides what any file can have.

The sentences are in `mixstation/wording/plan_file_faults.py`.
"""

from typing import Literal

from mixstation.coded import Coded, PlainCode
from mixstation.frozen import Frozen


class Plain(PlainCode):
    """Kinds that need no value."""

    RETURNS_TWICE = "returns-twice"
    CUT_OUT_FORM = "cut-out-form"
    DIVISION_OVER_CAPACITY = "division-over-capacity"
    EASY_OVER_LIMIT = "easy-over-limit"
    CURE_HEADER = "cure-header"
    CURE_ROW = "cure-row"
    CURE_ZONE = "cure-zone"
    CURE_ORDER = "cure-order"
    CURE_SHORT = "cure-short"
    CURE_NO_CLOCK = "cure-no-clock"


class AreaForm(Coded, code="area-form"):
    """No length by a width."""

    found: str


class CornersForm(Coded, code="corners-form"):
    """No list of corners, or too many of them."""

    limit_count: int


class CornerForm(Coded, code="corner-form"):
    """A corner that is no pair of lengths."""

    corner_number: int


CellCode = Literal["cure-time", "cure-temperature"]


class CureCell(Frozen):
    """A cell of a log that cannot be read."""

    code: CellCode
    found: str


class CureRange(Coded, code="cure-range"):
    """No piece is so cold or so warm."""

    found: str
    least_c: int
    most_c: int


class CureLong(Coded, code="cure-long"):
    """More days than a log has."""

    limit_count: int


class CureBefore(Coded, code="cure-before"):
    """A log without two readings since the batch was closed; its local time."""

    closed: str


PlanFileFault = Plain | AreaForm | CornersForm | CornerForm | CureCell | CureRange | CureLong | CureBefore
