"""Openings in a slab."""

import math

from mixstation.frozen import Frozen


class RectangularCutOut(Frozen):
    """An opening whose corner nearest the slab's first corner stands at `x_mm`, `y_mm`."""

    x_mm: float
    y_mm: float
    length_mm: float
    width_mm: float

    @property
    def area_mm2(self) -> float:
        """Area, mm². Source: Definition."""
        return self.length_mm * self.width_mm


class RoundCutOut(Frozen):
    """A hole whose centre stands at `x_mm`, `y_mm` from the slab's first corner."""

    x_mm: float
    y_mm: float
    diameter_mm: float

    @property
    def area_mm2(self) -> float:
        """Area, mm². Source: Definition."""
        return math.pi * self.diameter_mm**2 / 4.0


CutOut = RectangularCutOut | RoundCutOut


def bounds(cut: CutOut) -> tuple[float, float, float, float]:
    """Left, front, right and back edge of a cut-out, mm from the slab's first corner."""
    if isinstance(cut, RectangularCutOut):
        return cut.x_mm, cut.y_mm, cut.x_mm + cut.length_mm, cut.y_mm + cut.width_mm
    radius = cut.diameter_mm / 2
    return cut.x_mm - radius, cut.y_mm - radius, cut.x_mm + radius, cut.y_mm + radius


def overlap(one: CutOut, two: CutOut) -> bool:
    """Whether two cut-outs share area; touching is not sharing. Source: Definition."""
    if isinstance(one, RoundCutOut) and isinstance(two, RoundCutOut):
        return math.dist((one.x_mm, one.y_mm), (two.x_mm, two.y_mm)) < (one.diameter_mm + two.diameter_mm) / 2
    if isinstance(one, RectangularCutOut) and isinstance(two, RoundCutOut):
        one, two = two, one
    left, front, right, back = bounds(two)
    if isinstance(one, RoundCutOut):
        nearest = min(max(one.x_mm, left), right), min(max(one.y_mm, front), back)
        return math.dist((one.x_mm, one.y_mm), nearest) < one.diameter_mm / 2
    left_1, front_1, right_1, back_1 = bounds(one)
    return left < right_1 and left_1 < right and front < back_1 and front_1 < back
