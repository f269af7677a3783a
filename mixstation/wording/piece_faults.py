"""Sentences for what can be wrong with a piece to cast; how they are written is said in `file_faults`."""

from types import MappingProxyType

from mixstation.wording.file_faults import Sentences

PIECE_FAULTS: Sentences = MappingProxyType(
    {
        "area-form": "{key} must be a length by a width; found “{found}”. {write}",
        "corners-form": "{key} must be a list of 3 to {limit} corners, each a pair of lengths. {write}",
        "corner-form": "Corner {corner} must be a pair of lengths. {write}",
        "returns-twice": "returns is for all sides at once, and single sides are given too. Keep one of the two.",
        "cut-out-form": "A cut-out has a diameter, or a length and a width. Write one or the other.",
        "piece-count": "{found_count} pieces cannot be cast: from 1 to {limit_count}.",
        "no-layers": "“{piece}” has no layer. Write its thickness.",
        "layer-thickness-missing": "The {layer} of “{piece}” has no thickness. Write one.",
        "layer-thickness": "The {layer} of “{piece}” is {found_mm} mm thick; it must be more than nothing.",
        "solid-has-thickness": "The {layer} of “{piece}” fills the mould, so it has no thickness of its own. "
        "Take it out.",
        "faced-missing": "“{piece}” has a face coat, but how much of it is faced is not said. Write faced.",
        "face-over-piece": "The face coat takes {face_l} L, but “{piece}” only holds {piece_l} L. Make it thinner.",
        "size-not-positive": "The {size} of “{piece}” must be more than nothing; found {found}.",
        "size-too-large": "The {size} of “{piece}” is {found_mm} mm; at most {limit_mm} mm. "
        "Is there a zero too many?",
        "thickness-over-piece": "“{piece}” is {thickness_mm} mm thick; with its other sizes it must stay below "
        "{limit_mm} mm. Look at thickness and sizes.",
        "hole-over-ring": "The hole of “{piece}” is {inner_mm} mm wide, the ring {outer_mm} mm. "
        "The hole must be smaller.",
        "no-returns": "“{piece}” is a tray without a return. Write one, or make it a slab.",
        "water-c": "Water of {found_c} °C cannot be reckoned: from {least_c} to {most_c} °C.",
        "cut-out-outside": "Cut-out {cut_out_number} of “{piece}” is not wholly inside it. Look at its place and size.",
        "cut-outs-overlap": "Cut-outs {cut_out_number} and {other_number} of “{piece}” overlap. Move one.",
        "corner-count": "“{piece}” has {found_count} corners; it must have {least_count} to {limit_count}.",
        "corner-too-far": "A corner of “{piece}” is more than {limit_mm} mm away. Is there a zero too many?",
        "corner-repeated": "Corner {corner_number} of “{piece}” stands where an earlier one stands. Take one out.",
        "sides-cross": "Sides {side_number} and {other_number} of “{piece}” cross or touch. "
        "Give the corners in order round the edge.",
    }
)
