"""Shapes that are cast: how much mix lies between the mould face and a depth, in closed form.

Every shape knows how its sizes may not go together; each size by itself is looked at by
`mixstation.plan.shape_table`. Sheets and shells are built up in layers from the mould face; solids are filled. Sizes
are of the finished piece, in millimetres.
"""

import math
from collections.abc import Iterator
from typing import Literal

from mixstation.frozen import Frozen
from mixstation.plan import faults_of_pieces as why
from mixstation.plan.corners import Point, area_mm2, crossing_sides, repeated_corner
from mixstation.plan.cut_outs import CutOut, bounds, overlap
from mixstation.plan.faults_of_pieces import ShapeFault
from mixstation.proportion.density import water_density_kg_m3
from mixstation.units.plausible import RANGES

MAX_CORNER_COUNT = 100
MAX_SIZE_MM = float(RANGES["size"].most)
WATER_C = (0.0, 40.0)


class Slab(Frozen):
    """A flat rectangle, with or without cut-outs."""

    length_mm: float
    width_mm: float
    cut_outs: tuple[CutOut, ...] = ()

    def faults(self, depth_mm: float) -> tuple[ShapeFault, ...]:
        """How its sizes do not go together. Source: Definition."""
        numbered = list(enumerate(self.cut_outs, start=1))
        faults: list[ShapeFault] = [
            why.CutOutOutside(cut_out_number=number) for number, cut in numbered if not self._holds(cut)
        ]
        faults += [
            why.CutOutsOverlap(cut_out_number=number, other_number=other)
            for number, cut in numbered
            for other, cut_2 in numbered[: number - 1]
            if overlap(cut, cut_2)
        ]
        faults += _thickness_faults(depth_mm, min(self.length_mm, self.width_mm))
        return tuple(faults)

    def volume_to_mm3(self, depth_mm: float) -> float:
        """Mix from the mould face to a depth, mm³. Source: Definition."""
        return (self.length_mm * self.width_mm - sum(cut.area_mm2 for cut in self.cut_outs)) * depth_mm

    def _holds(self, cut: CutOut) -> bool:
        left, front, right, back = bounds(cut)
        return left >= 0 and front >= 0 and right <= self.length_mm and back <= self.width_mm


class Disc(Frozen):
    """A flat disc."""

    diameter_mm: float

    def faults(self, depth_mm: float) -> tuple[ShapeFault, ...]:
        """How its sizes do not go together. Source: Definition."""
        return tuple(_thickness_faults(depth_mm, self.diameter_mm))

    def volume_to_mm3(self, depth_mm: float) -> float:
        """Mix from the mould face to a depth, mm³. Source: Definition."""
        return math.pi * self.diameter_mm**2 / 4.0 * depth_mm


class Ring(Frozen):
    """A flat disc with a round hole in its middle."""

    outer_diameter_mm: float
    inner_diameter_mm: float

    def faults(self, depth_mm: float) -> tuple[ShapeFault, ...]:
        """How its sizes do not go together. Source: Definition."""
        if self.inner_diameter_mm >= self.outer_diameter_mm:
            inner_mm, outer_mm = self.inner_diameter_mm, self.outer_diameter_mm
            return (why.HoleOverRing(inner_mm=inner_mm, outer_mm=outer_mm),)
        return tuple(_thickness_faults(depth_mm, self.outer_diameter_mm))

    def volume_to_mm3(self, depth_mm: float) -> float:
        """Mix from the mould face to a depth, mm³. Source: Definition."""
        return math.pi * (self.outer_diameter_mm**2 - self.inner_diameter_mm**2) / 4.0 * depth_mm


class CornerShape(Frozen):
    """A flat shape given by its corners in order."""

    corners: tuple[Point, ...]

    def faults(self, depth_mm: float) -> tuple[ShapeFault, ...]:
        """How its sizes do not go together. Source: Definition."""
        if faults := tuple(_corner_faults(self.corners)):
            return faults
        return tuple(_thickness_faults(depth_mm, min(_spans(self.corners))))

    def volume_to_mm3(self, depth_mm: float) -> float:
        """Mix from the mould face to a depth, mm³. Source: Definition."""
        return area_mm2(self.corners) * depth_mm


class Tray(Frozen):
    """A floor with returns on one to four sides; sizes are outside ones.

    A return's height is the whole one, floor thickness included; 0 for a side without one. The sides are named
    as the piece lies in the mould: front and back along the length, left and right along the width.
    """

    length_mm: float
    width_mm: float
    front_mm: float = 0.0
    back_mm: float = 0.0
    left_mm: float = 0.0
    right_mm: float = 0.0

    def faults(self, depth_mm: float) -> tuple[ShapeFault, ...]:
        """How its sizes do not go together. Source: Definition."""
        heights = [height for height in self._heights() if height > 0]
        if not heights:
            return (why.NoReturns(),)
        across = self.width_mm / max(1, (self.front_mm > 0) + (self.back_mm > 0))
        along = self.length_mm / max(1, (self.left_mm > 0) + (self.right_mm > 0))
        return tuple(_thickness_faults(depth_mm, min(*heights, across, along)))

    def volume_to_mm3(self, depth_mm: float) -> float:
        """Mix from the mould face (floor and outside of the returns) to a depth, mm³. Source: Definition."""
        front, back, left, right = (max(0.0, height - depth_mm) for height in self._heights())
        walls = self.length_mm * (front + back) + self.width_mm * (left + right)
        # Two walls share their corner up to the lower one's height.
        shared = min(front, left) + min(front, right) + min(back, left) + min(back, right)
        return depth_mm * (self.length_mm * self.width_mm + walls - depth_mm * shared)

    def _heights(self) -> tuple[float, float, float, float]:
        return self.front_mm, self.back_mm, self.left_mm, self.right_mm


class Trough(Frozen):
    """A channel open at the top, its long sides straight or sloping; sizes are outside ones.

    The shell's thickness is measured square to floor, sides and ends.
    """

    length_mm: float
    top_width_mm: float
    floor_width_mm: float
    height_mm: float
    ends: Literal["closed", "open"] = "closed"

    def faults(self, depth_mm: float) -> tuple[ShapeFault, ...]:
        """How its sizes do not go together. Source: Definition."""
        # Twice the depth of the floor's inscribed corner: where the two inner side faces would meet.
        slant = self._slant()
        floor_limit = self.floor_width_mm / (2 * (slant - self._lean()))
        top_limit = self.top_width_mm / (2 * slant)
        ends_limit = self.length_mm / 2 if self.ends == "closed" else math.inf
        return tuple(_thickness_faults(depth_mm, min(self.height_mm, floor_limit, top_limit, ends_limit)))

    def volume_to_mm3(self, depth_mm: float) -> float:
        """Mix from the mould face (outside of floor, sides, closed ends) to a depth, mm³. Source: Definition."""
        outer_mm2 = (self.top_width_mm + self.floor_width_mm) / 2 * self.height_mm
        inner_top_mm = self.top_width_mm - 2 * depth_mm * self._slant()
        inner_floor_mm = self.floor_width_mm - 2 * depth_mm * (self._slant() - self._lean())
        inner_mm2 = (inner_top_mm + inner_floor_mm) / 2 * (self.height_mm - depth_mm)
        inner_length_mm = self.length_mm - (2 * depth_mm if self.ends == "closed" else 0.0)
        return outer_mm2 * self.length_mm - inner_mm2 * inner_length_mm

    def _lean(self) -> float:
        return (self.top_width_mm - self.floor_width_mm) / (2 * self.height_mm)

    def _slant(self) -> float:
        return math.hypot(1.0, self._lean())


class Profile(Frozen):
    """A solid length of one section, such as a sill cap.

    Attributes:
        section: Corners of the section in order, mm.
        faced_mm: How much of the section's outline lies against the mould; only needed for a face coat.
    """

    section: tuple[Point, ...]
    length_mm: float
    faced_mm: float | None = None

    def faults(self) -> tuple[ShapeFault, ...]:
        """How its sizes do not go together. Source: Definition."""
        return tuple(_corner_faults(self.section))

    @property
    def volume_mm3(self) -> float:
        """Mix it takes, mm³. Source: Definition."""
        return area_mm2(self.section) * self.length_mm

    @property
    def face_mm2(self) -> float | None:
        """Area that lies against the mould, mm², or None if not given. Source: Definition."""
        return None if self.faced_mm is None else self.faced_mm * self.length_mm


class WaterFill(Frozen):
    """Any mould, by the water it holds.

    Attributes:
        water_c: Temperature of that water, 0 to 40 °C.
        face_mm2: Area of the mould's face, mm²; only needed for a face coat.
    """

    water_kg: float
    water_c: float
    face_mm2: float | None = None

    def faults(self) -> tuple[ShapeFault, ...]:
        """How its sizes do not go together. Source: Definition."""
        if not WATER_C[0] <= self.water_c <= WATER_C[1]:
            return (why.WaterTemperature(found_c=self.water_c, least_c=WATER_C[0], most_c=WATER_C[1]),)
        return ()

    @property
    def volume_mm3(self) -> float:
        """Mix it takes, mm³. Source: Definition."""
        return self.water_kg / water_density_kg_m3(self.water_c) * 1e9


Layered = Slab | Disc | Ring | CornerShape | Tray | Trough
Solid = Profile | WaterFill
Shape = Layered | Solid


def _thickness_faults(depth_mm: float, limit_mm: float) -> Iterator[ShapeFault]:
    if depth_mm >= limit_mm:
        yield why.ThicknessOverPiece(thickness_mm=depth_mm, limit_mm=limit_mm)


def _corner_faults(corners: tuple[Point, ...]) -> Iterator[ShapeFault]:
    if not 3 <= len(corners) <= MAX_CORNER_COUNT:
        yield why.CornerCount(found_count=len(corners), least_count=3, limit_count=MAX_CORNER_COUNT)
    elif not all(math.isfinite(x) and abs(x) <= MAX_SIZE_MM for corner in corners for x in corner):
        yield why.CornerTooFar(limit_mm=MAX_SIZE_MM)
    elif number := repeated_corner(corners):
        yield why.CornerRepeated(corner_number=number)
    elif sides := crossing_sides(corners):
        yield why.SidesCross(side_number=sides[0], other_number=sides[1])


def _spans(corners: tuple[Point, ...]) -> tuple[float, float]:
    along, across = zip(*corners, strict=True)
    return max(along) - min(along), max(across) - min(across)
