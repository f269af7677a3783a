"""Outlines against shapely (general-purpose geometry library)."""

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from mixstation.plan.corners import area_mm2, contains, crossing_sides, repeated_corner
from tests.depth import examples

coordinates = st.integers(min_value=0, max_value=40).map(lambda step: step * 12.5)
outlines = st.lists(st.tuples(coordinates, coordinates), min_size=3, max_size=9, unique=True)


@given(outlines)
@settings(max_examples=examples(400))
def test_a_crossing_outline_is_one_that_shapely_calls_invalid(corners: list[tuple[float, float]]) -> None:
    assert (crossing_sides(corners) is None) == shapely.Polygon(corners).is_valid


@given(outlines)
def test_area_of_a_clean_outline(corners: list[tuple[float, float]]) -> None:
    assume(crossing_sides(corners) is None)
    assert area_mm2(corners) == pytest.approx(shapely.Polygon(corners).area)
    assert area_mm2(corners[::-1]) == area_mm2(corners)


@given(outlines, coordinates, coordinates)
def test_points_off_the_outline_lie_inside_or_outside(
    corners: list[tuple[float, float]], x_mm: float, y_mm: float
) -> None:
    assume(crossing_sides(corners) is None)
    polygon = shapely.Polygon(corners)
    point = shapely.Point(x_mm + 0.3, y_mm + 0.7)
    assume(polygon.exterior.distance(point) > 1e-6)
    assert contains(corners, point.x, point.y) == polygon.contains(point)


@pytest.mark.parametrize(
    ("corners", "sides"),
    [
        pytest.param(((0, 0), (300, 200), (300, 0), (0, 200)), (1, 3), id="bow tie"),
        pytest.param(((0, 0), (400, 0), (400, 300), (200, 0), (0, 300)), (1, 3), id="corner on another side"),
        pytest.param(((0, 0), (400, 0), (150, 0)), (1, 2), id="flat"),
        pytest.param(((0, 0), (400, 0), (400, 300), (400, 100)), (2, 3), id="doubles back"),
        pytest.param(
            ((100, 0), (400, 0), (400, 300), (0, 300), (0, 0), (200, 0)), (1, 5), id="last over first"
        ),
    ],
)
def test_names_the_sides_that_cross(corners: tuple[tuple[float, float], ...], sides: tuple[int, int]) -> None:
    assert crossing_sides(corners) == sides


@pytest.mark.parametrize("turns", range(4))
@pytest.mark.parametrize("backwards", [False, True])
def test_a_corner_on_another_side_is_found_whichever_way_the_side_runs(turns: int, backwards: bool) -> None:
    corners: list[tuple[float, float]] = [(0, 0), (400, 0), (400, 300), (200, 0), (0, 300)]
    for _ in range(turns):
        corners = [(-y, x) for x, y in corners]
    if backwards:
        corners.reverse()
    for first in range(5):
        assert crossing_sides([*corners[first:], *corners[:first]]) is not None
    # Beyond the end of a side, on its line, is no touch.
    beyond = [(x, y) for x, y in corners if (abs(x), abs(y)) not in ((200, 0), (0, 200))]
    assert crossing_sides(beyond) is None


def test_a_notched_outline_is_clean() -> None:
    notched = ((0, 0), (500, 0), (500, 300), (300, 300), (300, 200), (200, 200), (200, 300), (0, 300))
    assert crossing_sides(notched) is None
    assert repeated_corner(notched) is None


def test_names_the_corner_given_twice() -> None:
    assert repeated_corner(((0, 0), (400, 0), (400, 300), (0.0004, 0))) == 4
