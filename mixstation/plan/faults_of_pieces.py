"""What makes a piece impossible: a type of each kind, whose fields are the values of its sentence.

The sentences are in `mixstation/wording/piece_lines.py`.
"""

from mixstation.coded import Coded


class OfPiece(Coded):
    """One reason why a piece cannot be cast.

    Attributes:
        piece: Its name; "" until it is told with the piece.
    """

    piece: str = ""


class PieceCount(OfPiece, code="piece-count"):
    """So many pieces cannot be cast."""

    found_count: int
    limit_count: int


class NoLayers(OfPiece, code="no-layers"):
    """It has no layer."""


class LayerThicknessMissing(OfPiece, code="layer-thickness-missing"):
    """A layer that does not fill a mould has no thickness."""

    layer: str


class LayerThickness(OfPiece, code="layer-thickness"):
    """A layer is not thicker than nothing."""

    layer: str
    found_mm: float


class SolidHasThickness(OfPiece, code="solid-has-thickness"):
    """The layer that fills a mould has a thickness too."""

    layer: str


class FacedMissing(OfPiece, code="faced-missing"):
    """How much of a solid its face coat covers is not said."""


class FaceOverPiece(OfPiece, code="face-over-piece"):
    """The face coat takes more than there is."""

    face_l: float
    piece_l: float


class SizeNotPositive(OfPiece, code="size-not-positive"):
    """A size is not more than nothing; `found` is in the size's own unit."""

    size: str
    found: float


class SizeTooLarge(OfPiece, code="size-too-large"):
    """A size is more than any mould's."""

    size: str
    found_mm: float
    limit_mm: float


class ThicknessOverPiece(OfPiece, code="thickness-over-piece"):
    """Its thickness leaves no room within its other sizes."""

    thickness_mm: float
    limit_mm: float


class HoleOverRing(OfPiece, code="hole-over-ring"):
    """The hole is as wide as the ring, or wider."""

    inner_mm: float
    outer_mm: float


class NoReturns(OfPiece, code="no-returns"):
    """A tray without a return."""


class WaterTemperature(OfPiece, code="water-c"):
    """The water that filled the mould was too cold or too warm to reckon with."""

    found_c: float
    least_c: float
    most_c: float


class CutOutOutside(OfPiece, code="cut-out-outside"):
    """A cut-out is not wholly inside."""

    cut_out_number: int


class CutOutsOverlap(OfPiece, code="cut-outs-overlap"):
    """Two cut-outs overlap."""

    cut_out_number: int
    other_number: int


class CornerCount(OfPiece, code="corner-count"):
    """Too few corners, or too many."""

    found_count: int
    least_count: int
    limit_count: int


class CornerTooFar(OfPiece, code="corner-too-far"):
    """A corner is farther away than any mould reaches."""

    limit_mm: float


class CornerRepeated(OfPiece, code="corner-repeated"):
    """A corner stands where an earlier one stands."""

    corner_number: int


class SidesCross(OfPiece, code="sides-cross"):
    """Two sides cross or touch."""

    side_number: int
    other_number: int


SizeFault = SizeNotPositive | SizeTooLarge
ShapeFault = (
    ThicknessOverPiece
    | HoleOverRing
    | NoReturns
    | WaterTemperature
    | CutOutOutside
    | CutOutsOverlap
    | CornerCount
    | CornerTooFar
    | CornerRepeated
    | SidesCross
)
LayerFault = (
    PieceCount
    | NoLayers
    | LayerThicknessMissing
    | LayerThickness
    | SolidHasThickness
    | FacedMissing
    | FaceOverPiece
)
PieceFault = SizeFault | ShapeFault | LayerFault
