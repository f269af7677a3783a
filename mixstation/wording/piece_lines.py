"""Why a piece cannot be cast: one sentence for every reason, at the screen and in a file of pieces."""

from typing import assert_never

from mixstation.plan import faults_of_pieces as why
from mixstation.plan.faults_of_pieces import LayerFault, PieceFault, ShapeFault, SizeFault
from mixstation.wording.spoken import Plainly, spoken


def piece_line(fault: PieceFault) -> str:
    """The sentence for a reason why a piece cannot be cast; sizes are in the units of drawings and files."""
    return spoken(piece_sentence(fault), fault, Plainly())


def piece_sentence(fault: PieceFault) -> str:
    """The words, with fields of the fault in braces."""
    if isinstance(fault, ShapeFault):
        return _of_shape(fault)
    return _of_layers(fault)


def _of_layers(fault: LayerFault | SizeFault) -> str:
    match fault:
        case why.SizeNotPositive():
            return "The {size} of “{piece}” must be more than nothing; found {found:plain}."
        case why.SizeTooLarge():
            return (
                "The {size} of “{piece}” is {found_mm:plain} mm; at most {limit_mm:plain} mm. Is there a zero too"
                " many?"
            )
        case why.PieceCount():
            return "{found_count} pieces cannot be cast: from 1 to {limit_count}."
        case why.NoLayers():
            return "“{piece}” has no layer. Write its thickness."
        case why.LayerThicknessMissing():
            return "The {layer} of “{piece}” has no thickness. Write one."
        case why.LayerThickness():
            return "The {layer} of “{piece}” is {found_mm:plain} mm thick; it must be more than nothing."
        case why.SolidHasThickness():
            return "The {layer} of “{piece}” fills the mould, so it has no thickness of its own. Take it out."
        case why.FacedMissing():
            return "“{piece}” has a face coat, but how much of it is faced is not said. Write faced."
        case why.FaceOverPiece():
            return (
                "The face coat takes {face_l:plain} L, but “{piece}” only holds {piece_l:plain} L. Make it "
                "thinner."
            )
        case _ as forgotten:
            assert_never(forgotten)


def _of_shape(fault: ShapeFault) -> str:
    match fault:
        case why.ThicknessOverPiece():
            return (
                "“{piece}” is {thickness_mm:plain} mm thick; with its other sizes it must stay below "
                "{limit_mm:plain} mm. Look at thickness and sizes."
            )
        case why.HoleOverRing():
            return (
                "The hole of “{piece}” is {inner_mm:plain} mm wide, the ring {outer_mm:plain} mm. The hole must "
                "be smaller."
            )
        case why.NoReturns():
            return "“{piece}” is a tray without a return. Write one, or make it a slab."
        case why.WaterTemperature():
            return (
                "Water of {found_c:plain} °C cannot be reckoned: from {least_c:plain} to {most_c:plain} °C."
            )
        case why.CutOutOutside():
            return (
                "Cut-out {cut_out_number} of “{piece}” is not wholly inside it. Look at its place and size."
            )
        case why.CutOutsOverlap():
            return "Cut-outs {cut_out_number} and {other_number} of “{piece}” overlap. Move one."
        case why.CornerCount():
            return "“{piece}” has {found_count} corners; it must have {least_count} to {limit_count}."
        case why.CornerTooFar():
            return "A corner of “{piece}” is more than {limit_mm:plain} mm away. Is there a zero too many?"
        case why.CornerRepeated():
            return "Corner {corner_number} of “{piece}” stands where an earlier one stands. Take one out."
        case why.SidesCross():
            return (
                "Sides {side_number} and {other_number} of “{piece}” cross or touch. Give the corners in order "
                "round the edge."
            )
        case _ as forgotten:
            assert_never(forgotten)
