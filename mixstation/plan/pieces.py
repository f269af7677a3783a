"""Pieces to cast: a shape, how many, and the layers it is built up in."""

import math
from collections.abc import Iterator
from dataclasses import replace

from mixstation.frozen import Frozen
from mixstation.plan import faults_of_pieces as why
from mixstation.plan.cautions import Caution, FaceThicknessUnusual, ThicknessUnusual
from mixstation.plan.faults import PlanRefused
from mixstation.plan.faults_of_pieces import LayerFault, PieceFault
from mixstation.plan.shape_table import size_faults
from mixstation.plan.shapes import Profile, Shape, WaterFill
from mixstation.units.plausible import RANGES

FACE_COAT = "face coat"
BACKING_COAT = "backing coat"
ONE_COAT = "one coat"

THICKNESS_MM = (10.0, 25.0)
FACE_THICKNESS_MM = (2.0, 4.0)
MAX_PIECE_COUNT = int(RANGES["piece count"].most)


class Layer(Frozen):
    """One coat, counted from the mould face; the last of a solid fills the rest and has no thickness."""

    name: str
    thickness_mm: float | None


class Piece(Frozen):
    """Pieces of one kind, their layers from the mould face on; at least one."""

    name: str
    shape: Shape
    layers: tuple[Layer, ...]
    count: int = 1

    @property
    def thickness_mm(self) -> float:
        """Sum of the thicknesses given. Source: Definition."""
        return sum(layer.thickness_mm or 0.0 for layer in self.layers)

    @property
    def face_layers(self) -> tuple[Layer, ...]:
        """Layers in front of the last one. Source: Definition."""
        return self.layers[:-1]


class LayerVolume(Frozen):
    """Mix that one layer of one piece takes."""

    name: str
    volume_l: float


def coats(thickness_mm: float | None, face_mm: float = 0.0) -> tuple[Layer, ...]:
    """Layers for a piece with or without a face coat.

    Args:
        thickness_mm: Whole thickness, above 0; None for a solid.
        face_mm: Thickness of the face coat, 0 for none.

    Example:
        >>> [layer.thickness_mm for layer in coats(20.0, 3.0)]
        [3.0, 17.0]
    """
    if not face_mm:
        return (Layer(name=ONE_COAT, thickness_mm=thickness_mm),)
    backing_mm = None if thickness_mm is None else thickness_mm - face_mm
    face = Layer(name=FACE_COAT, thickness_mm=face_mm)
    return face, Layer(name=BACKING_COAT, thickness_mm=backing_mm)


def piece_faults(piece: Piece) -> tuple[PieceFault, ...]:
    """Everything that makes a piece impossible. Source: Definition."""
    faults: list[PieceFault] = list(_layer_faults(piece))
    if not 1 <= piece.count <= MAX_PIECE_COUNT:
        faults.append(why.PieceCount(found_count=piece.count, limit_count=MAX_PIECE_COUNT))
    shape = piece.shape
    if each := size_faults(shape):
        faults += each
    elif isinstance(shape, Profile | WaterFill):
        faults += shape.faults()
        if not faults and (face_l := _face_l(piece, shape)) >= shape.volume_mm3 / 1e6:
            faults.append(why.FaceOverPiece(face_l=face_l, piece_l=shape.volume_mm3 / 1e6))
    else:
        faults += shape.faults(piece.thickness_mm)
    return tuple(replace(found, piece=piece.name) for found in faults)


def layer_volumes(piece: Piece) -> tuple[LayerVolume, ...]:
    """Mix each layer of one piece takes, litres, in their order from the mould face.

    The face coat of a solid is its thickness times the faced area, as if that lay flat: corners make it differ by
    about the thickness squared per corner and length.

    Raises:
        PlanRefused: The piece is impossible; see `piece_faults`.

    Example:
        >>> from mixstation.plan.shapes import Slab
        >>> plate = Piece(name="hearth plate", shape=Slab(length_mm=800, width_mm=500), layers=coats(15.0, 3.0))
        >>> [(volume.name, round(volume.volume_l, 6)) for volume in layer_volumes(plate)]
        [('face coat', 1.2), ('backing coat', 4.8)]
    """
    if faults := piece_faults(piece):
        raise PlanRefused(faults)
    shape = piece.shape
    if isinstance(shape, Profile | WaterFill):
        faces_l = [(layer.thickness_mm or 0.0) * (shape.face_mm2 or 0.0) / 1e6 for layer in piece.face_layers]
        volumes_l = [*faces_l, shape.volume_mm3 / 1e6 - sum(faces_l)]
    else:
        volumes_l = []
        depth_mm, before_mm3 = 0.0, 0.0
        for layer in piece.layers:
            depth_mm += layer.thickness_mm or 0.0
            after_mm3 = shape.volume_to_mm3(depth_mm)
            volumes_l.append((after_mm3 - before_mm3) / 1e6)
            before_mm3 = after_mm3
    names = (layer.name for layer in piece.layers)
    return tuple(LayerVolume(name=name, volume_l=each) for name, each in zip(names, volumes_l, strict=True))


def piece_cautions(piece: Piece) -> Iterator[Caution]:
    """Thicknesses outside what thin pieces are usually cast in: `ThicknessUnusual` and `FaceThicknessUnusual`.

    Source: Common practice, no source: 10 to 25 mm whole, 2 to 4 mm face coat.
    """
    for layer in piece.face_layers:
        least_mm, most_mm = FACE_THICKNESS_MM
        if layer.thickness_mm is not None and not least_mm <= layer.thickness_mm <= most_mm:
            yield FaceThicknessUnusual(
                piece=piece.name, found_mm=layer.thickness_mm, least_mm=least_mm, most_mm=most_mm
            )
    least_mm, most_mm = THICKNESS_MM
    if not isinstance(piece.shape, Profile | WaterFill) and not least_mm <= piece.thickness_mm <= most_mm:
        yield ThicknessUnusual(
            piece=piece.name, found_mm=piece.thickness_mm, least_mm=least_mm, most_mm=most_mm
        )


def _layer_faults(piece: Piece) -> Iterator[LayerFault]:
    if not piece.layers:
        yield why.NoLayers()
        return
    solid = isinstance(piece.shape, Profile | WaterFill)
    for layer in piece.layers:
        fills_rest = solid and layer is piece.layers[-1]
        if layer.thickness_mm is None:
            if not fills_rest:
                yield why.LayerThicknessMissing(layer=layer.name)
        elif fills_rest:
            yield why.SolidHasThickness(layer=layer.name)
        elif not 0 < layer.thickness_mm < math.inf:
            yield why.LayerThickness(layer=layer.name, found_mm=layer.thickness_mm)
    if isinstance(piece.shape, Profile | WaterFill) and piece.face_layers and piece.shape.face_mm2 is None:
        yield why.FacedMissing()


def _face_l(piece: Piece, shape: Profile | WaterFill) -> float:
    return sum(layer.thickness_mm or 0.0 for layer in piece.face_layers) * (shape.face_mm2 or 0.0) / 1e6
