"""Cut-outs that share area, against shapely (general-purpose geometry library)."""

from itertools import product

import pytest
import shapely

from mixstation.plan.cut_outs import RectangularCutOut, RoundCutOut, overlap

MIDDLE = RectangularCutOut(x_mm=400, y_mm=400, length_mm=200, width_mm=100)
# Apart, touching, a little over the edge, over it, on the left and on the right.
STEPS_MM = (-250, -200, -199, -150, -100, -99, 0, 99, 100, 150, 199, 200, 250)


@pytest.mark.parametrize("over_x_mm", STEPS_MM)
def test_two_rectangles(over_x_mm: int) -> None:
    for over_y_mm in STEPS_MM:
        x_mm, y_mm = 400 + over_x_mm, 400 + over_y_mm
        other = RectangularCutOut(x_mm=x_mm, y_mm=y_mm, length_mm=200, width_mm=100)
        shared_mm2 = shapely.box(400, 400, 600, 500).intersection(
            shapely.box(x_mm, y_mm, x_mm + 200, y_mm + 100)
        )
        assert overlap(MIDDLE, other) == overlap(other, MIDDLE) == (shared_mm2.area > 0)


def test_a_circle_and_a_rectangle() -> None:
    """60 mm across: it shares area while its middle is less than 30 mm from the rectangle."""
    box = shapely.box(400, 400, 600, 500)
    for x_mm, y_mm in product(range(350, 651, 10), range(350, 551, 10)):
        hole = RoundCutOut(x_mm=x_mm, y_mm=y_mm, diameter_mm=60)
        shares = box.distance(shapely.Point(x_mm, y_mm)) < 30
        assert overlap(MIDDLE, hole) == overlap(hole, MIDDLE) == shares


@pytest.mark.parametrize(("apart_mm", "shares"), [(49, True), (50, False), (51, False)])
def test_two_circles_share_area_nearer_than_their_radii(apart_mm: float, shares: bool) -> None:
    one = RoundCutOut(x_mm=100, y_mm=100, diameter_mm=60)
    assert overlap(one, RoundCutOut(x_mm=100 + apart_mm, y_mm=100, diameter_mm=40)) == shares
    assert overlap(one, RoundCutOut(x_mm=100, y_mm=100 - apart_mm, diameter_mm=40)) == shares
