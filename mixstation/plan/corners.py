"""Polygons given by their corners: area, outline, and whether the outline crosses itself."""

from collections.abc import Sequence

Point = tuple[float, float]

# Finer than any mould is built; whole micrometres make the crossing test exact.
_STEPS_PER_MM = 1000


def area_mm2(corners: Sequence[Point]) -> float:
    """Area inside an outline that does not cross itself.

    Source: Definition: the shoelace formula.

    Example:
        >>> area_mm2(((0, 0), (400, 0), (0, 300)))
        60000.0
    """
    pairs = zip(corners, (*corners[1:], corners[0]), strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs)) / 2.0


def contains(corners: Sequence[Point], x_mm: float, y_mm: float) -> bool:
    """Whether a point lies inside, by the even-odd rule.

    Returns:
        True inside; points on the outline may go either way.
    """
    inside = False
    for (x1, y1), (x2, y2) in zip(corners, (*corners[1:], corners[0]), strict=True):
        if (y1 > y_mm) != (y2 > y_mm) and x_mm < x1 + (y_mm - y1) * (x2 - x1) / (y2 - y1):
            inside = not inside
    return inside


def repeated_corner(corners: Sequence[Point]) -> int | None:
    """Number, from 1, of the first corner that stands where an earlier one stands; None if there is none.

    Args:
        corners: Corners in order, mm; the first is not given again at the end.

    Source: Choice: corners closer than a micrometre are the same.
    """
    seen: set[tuple[int, int]] = set()
    for number, point in enumerate(_whole(corners), start=1):
        if point in seen:
            return number
        seen.add(point)
    return None


def crossing_sides(corners: Sequence[Point]) -> tuple[int, int] | None:
    """The first two sides that touch or cross where they should not.

    Args:
        corners: Corners in order, mm, no two the same.

    Returns:
        Numbers of the two sides, from 1 (side 1 runs from corner 1 to corner 2), or None.

    Source: Definition: orientation test, exact on whole micrometres.

    Example:
        >>> crossing_sides(((0, 0), (100, 100), (100, 0), (0, 100)))
        (1, 3)
    """
    points = _whole(corners)
    count = len(points)
    sides = [(points[index], points[(index + 1) % count]) for index in range(count)]
    for first in range(count):
        for second in range(first + 1, count):
            if second == first + 1:
                bad = _doubles_back(*sides[first], sides[second][1])
            elif first == 0 and second == count - 1:
                bad = _doubles_back(*sides[second], sides[first][1])
            else:
                bad = _touch(*sides[first], *sides[second])
            if bad:
                return first + 1, second + 1
    return None


_Whole = tuple[int, int]


def _whole(corners: Sequence[Point]) -> list[_Whole]:
    return [(round(x * _STEPS_PER_MM), round(y * _STEPS_PER_MM)) for x, y in corners]


def _turn(a: _Whole, b: _Whole, c: _Whole) -> int:
    product = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return (product > 0) - (product < 0)


def _doubles_back(a: _Whole, b: _Whole, c: _Whole) -> bool:
    along = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1])
    return _turn(a, b, c) == 0 and along < 0


def _between(a: _Whole, b: _Whole, c: _Whole) -> bool:
    return min(a[0], b[0]) <= c[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= c[1] <= max(a[1], b[1])


def _touch(a: _Whole, b: _Whole, c: _Whole, d: _Whole) -> bool:
    turns = _turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b)
    if turns[0] * turns[1] < 0 and turns[2] * turns[3] < 0:
        return True
    lying = ((a, b, c), (a, b, d), (c, d, a), (c, d, b))
    return any(turn == 0 and _between(*three) for turn, three in zip(turns, lying, strict=True))
