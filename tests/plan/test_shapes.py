"""Volumes in closed form against shapely and numeric integration, and what makes a shape impossible."""

import math
from itertools import pairwise

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from mixstation.plan.cut_outs import CutOut, RectangularCutOut, RoundCutOut
from mixstation.plan.shape_table import size_faults
from mixstation.plan.shapes import (
    CornerShape,
    Disc,
    Layered,
    Profile,
    Ring,
    Slab,
    Tray,
    Trough,
    WaterFill,
)

sizes_mm = st.floats(min_value=60, max_value=2400)
depths_mm = st.floats(min_value=1, max_value=25)
heights_mm = st.one_of(st.just(0.0), st.floats(min_value=30, max_value=300))
places_mm = st.floats(min_value=-50, max_value=700)
openings_mm = st.floats(min_value=20, max_value=300)
cut_outs = st.one_of(
    st.builds(RectangularCutOut, x_mm=places_mm, y_mm=places_mm, length_mm=openings_mm, width_mm=openings_mm),
    st.builds(RoundCutOut, x_mm=places_mm, y_mm=places_mm, diameter_mm=openings_mm),
)


def as_polygon(cut: CutOut) -> shapely.Polygon:
    if isinstance(cut, RectangularCutOut):
        return shapely.box(cut.x_mm, cut.y_mm, cut.x_mm + cut.length_mm, cut.y_mm + cut.width_mm)
    return shapely.Point(cut.x_mm, cut.y_mm).buffer(cut.diameter_mm / 2, quad_segs=256)


@settings(deadline=None)
@given(st.lists(cut_outs, max_size=4), sizes_mm, sizes_mm, depths_mm)
def test_slab_with_cut_outs(cuts: list[CutOut], length_mm: float, width_mm: float, depth_mm: float) -> None:
    slab = Slab(length_mm=length_mm, width_mm=width_mm, cut_outs=tuple(cuts))
    plate = shapely.box(0, 0, length_mm, width_mm)
    holes = [as_polygon(cut) for cut in cuts]
    faults = {fault.code for fault in slab.faults(depth_mm)}
    clear_of_edges = [abs(hole.difference(plate).area) for hole in holes]
    shared = [one.intersection(two).area for at, one in enumerate(holes) for two in holes[:at]]
    # Circles are polygons to shapely: near misses may go either way.
    assume(all(area < 1e-9 or area > 5 for area in (*clear_of_edges, *shared)))
    assume(not any(1e-9 < one.distance(two) < 0.1 for at, one in enumerate(holes) for two in holes[:at]))
    assume(not any(0 < abs(hole.bounds[at] - limit) < 0.1 for hole in holes for at, limit in _edges(slab)))
    if any(clear_of_edges):
        assert "cut-out-outside" in faults
    elif not any(shared):
        assert not faults
        expected_mm2 = plate.difference(shapely.union_all(holes)).area
        assert slab.volume_to_mm3(depth_mm) == pytest.approx(expected_mm2 * depth_mm, rel=1e-4)
    if any(shared):
        assert "cut-outs-overlap" in faults


def _edges(slab: Slab) -> list[tuple[int, float]]:
    return [(0, 0.0), (1, 0.0), (2, slab.length_mm), (3, slab.width_mm)]


@given(sizes_mm, depths_mm, st.floats(min_value=0.1, max_value=0.9))
def test_disc_and_ring_against_integration(outer_mm: float, depth_mm: float, part: float) -> None:
    # Slow to load, for this test alone.
    from scipy.integrate import quad

    def half_moon_mm2(diameter_mm: float) -> float:
        radius = diameter_mm / 2
        value: float = quad(lambda x: math.sqrt(max(0.0, radius**2 - x**2)), -radius, radius)[0]
        return value

    inner_mm = outer_mm * part
    disc_mm3 = 2 * half_moon_mm2(outer_mm) * depth_mm
    hole_mm3 = 2 * half_moon_mm2(inner_mm) * depth_mm
    assert Disc(diameter_mm=outer_mm).volume_to_mm3(depth_mm) == pytest.approx(disc_mm3, rel=1e-6)
    ring = Ring(outer_diameter_mm=outer_mm, inner_diameter_mm=inner_mm)
    assert ring.volume_to_mm3(depth_mm) == pytest.approx(disc_mm3 - hole_mm3, rel=1e-6)


@given(sizes_mm, sizes_mm, heights_mm, heights_mm, heights_mm, heights_mm, depths_mm)
def test_tray_sliced_level_by_level(
    length_mm: float,
    width_mm: float,
    front_mm: float,
    back_mm: float,
    left_mm: float,
    right_mm: float,
    depth_mm: float,
) -> None:
    tray = Tray(
        length_mm=length_mm,
        width_mm=width_mm,
        front_mm=front_mm,
        back_mm=back_mm,
        left_mm=left_mm,
        right_mm=right_mm,
    )
    assume(not tray.faults(depth_mm))
    walls = [
        (front_mm, shapely.box(0, 0, length_mm, depth_mm)),
        (back_mm, shapely.box(0, width_mm - depth_mm, length_mm, width_mm)),
        (left_mm, shapely.box(0, 0, depth_mm, width_mm)),
        (right_mm, shapely.box(length_mm - depth_mm, 0, length_mm, width_mm)),
    ]
    levels = sorted({depth_mm, *(max(depth_mm, height) for height, _ in walls)})
    expected_mm3 = length_mm * width_mm * depth_mm
    for low, high in pairwise(levels):
        section = shapely.union_all([wall for height, wall in walls if height >= high])
        expected_mm3 += section.area * (high - low)
    assert tray.volume_to_mm3(depth_mm) == pytest.approx(expected_mm3)


@settings(deadline=None)
@given(sizes_mm, sizes_mm, sizes_mm, st.floats(min_value=60, max_value=500), depths_mm)
def test_trough_section_against_an_inward_offset(
    length_mm: float, top_mm: float, floor_mm: float, height_mm: float, depth_mm: float
) -> None:
    trough = Trough(length_mm=length_mm, top_width_mm=top_mm, floor_width_mm=floor_mm, height_mm=height_mm)
    assume(not trough.faults(depth_mm))
    lean = (top_mm - floor_mm) / 2 / height_mm
    assume(abs(lean) < 1.5)
    above_mm = min(4 * depth_mm, 0.4 * top_mm / abs(lean)) if lean < 0 else 4 * depth_mm
    assume(above_mm > 2 * depth_mm)
    half_floor, half_top = floor_mm / 2, top_mm / 2 + lean * above_mm
    tall = height_mm + above_mm
    # Closed well above the rim, so that the offset leaves the rim's own height alone.
    section = shapely.Polygon(((-half_floor, 0), (half_floor, 0), (half_top, tall), (-half_top, tall)))
    inner = section.buffer(-depth_mm, join_style="mitre", mitre_limit=100)
    below_rim = shapely.box(-1e5, 0, 1e5, height_mm)
    outer_mm2, inner_mm2 = section.intersection(below_rim).area, inner.intersection(below_rim).area
    expected_mm3 = outer_mm2 * length_mm - inner_mm2 * (length_mm - 2 * depth_mm)
    assert trough.volume_to_mm3(depth_mm) == pytest.approx(expected_mm3, rel=1e-6)


@given(sizes_mm, sizes_mm, st.floats(min_value=60, max_value=500), depths_mm)
def test_an_upright_trough_is_a_tray_with_four_equal_returns(
    length_mm: float, width_mm: float, height_mm: float, depth_mm: float
) -> None:
    trough = Trough(length_mm=length_mm, top_width_mm=width_mm, floor_width_mm=width_mm, height_mm=height_mm)
    returns = {f"{side}_mm": height_mm for side in ("front", "back", "left", "right")}
    tray = Tray(length_mm=length_mm, width_mm=width_mm, **returns)
    assume(not tray.faults(depth_mm))
    assert trough.volume_to_mm3(depth_mm) == pytest.approx(tray.volume_to_mm3(depth_mm))


def test_an_open_trough_has_no_end_walls() -> None:
    sizes = {"length_mm": 900.0, "top_width_mm": 240.0, "floor_width_mm": 240.0, "height_mm": 150.0}
    # Floor 240 × 15, two sides 135 × 15, over 900 mm.
    assert Trough(**sizes, ends="open").volume_to_mm3(15.0) == pytest.approx((240 + 2 * 135) * 15 * 900)


def test_corner_shape_and_profile_by_hand() -> None:
    # A 700 × 420 rectangle with a 200 × 120 corner left out.
    corners = ((0.0, 0.0), (700.0, 0.0), (700.0, 300.0), (500.0, 300.0), (500.0, 420.0), (0.0, 420.0))
    assert CornerShape(corners=corners).volume_to_mm3(16.0) == pytest.approx((700 * 420 - 200 * 120) * 16)
    cap = Profile(section=((0, 0), (180, 0), (180, 40), (0, 60)), length_mm=950)
    assert cap.volume_mm3 == pytest.approx(180 * 50 * 950)


def test_water_fill_counts_the_water_s_temperature() -> None:
    cold, warm = (WaterFill(water_kg=12.4, water_c=at_c).volume_mm3 / 1e6 for at_c in (8.0, 35.0))
    assert cold == pytest.approx(12.4018, abs=2e-4)
    assert warm == pytest.approx(12.4744, abs=2e-4)


@pytest.mark.parametrize(
    ("shape", "depth_mm", "code"),
    [
        (Slab(length_mm=0, width_mm=300), 15, "size-not-positive"),
        (Slab(length_mm=math.nan, width_mm=300), 15, "size-not-positive"),
        (Slab(length_mm=60_000, width_mm=300), 15, "size-too-large"),
        (Slab(length_mm=600, width_mm=12), 15, "thickness-over-piece"),
        (Disc(diameter_mm=-400), 15, "size-not-positive"),
        (Ring(outer_diameter_mm=400, inner_diameter_mm=400), 15, "hole-over-ring"),
        (CornerShape(corners=((0, 0), (400, 0))), 15, "corner-count"),
        (CornerShape(corners=((0, 0), (400, math.inf), (0, 300))), 15, "corner-too-far"),
        (CornerShape(corners=((0, 0), (400, 0), (0, 0), (0, 300))), 15, "corner-repeated"),
        (CornerShape(corners=((0, 0), (300, 200), (300, 0), (0, 200))), 15, "sides-cross"),
        (Tray(length_mm=500, width_mm=300), 15, "no-returns"),
        (Tray(length_mm=500, width_mm=300, front_mm=15), 15, "thickness-over-piece"),
        (Tray(length_mm=500, width_mm=28, front_mm=80, back_mm=80), 15, "thickness-over-piece"),
        (
            Trough(length_mm=800, top_width_mm=200, floor_width_mm=18, height_mm=200),
            15,
            "thickness-over-piece",
        ),
        (
            Trough(length_mm=28, top_width_mm=200, floor_width_mm=200, height_mm=200),
            15,
            "thickness-over-piece",
        ),
    ],
)
def test_impossible_shapes(shape: Layered, depth_mm: float, code: str) -> None:
    assert [fault.code for fault in size_faults(shape) or shape.faults(depth_mm)] == [code]


@pytest.mark.parametrize(
    ("shape", "code"),
    [
        (Profile(section=((0, 0), (180, 0), (180, 40)), length_mm=0), "size-not-positive"),
        (Profile(section=((0, 0), (180, 40), (180, 0), (0, 40)), length_mm=900), "sides-cross"),
        (WaterFill(water_kg=0, water_c=18), "size-not-positive"),
        (WaterFill(water_kg=5, water_c=55), "water-c"),
    ],
)
def test_impossible_solids(shape: Profile | WaterFill, code: str) -> None:
    assert [fault.code for fault in size_faults(shape) or shape.faults()] == [code]


@pytest.mark.parametrize("side", ["front_mm", "back_mm", "left_mm", "right_mm"])
def test_one_return_may_be_thicker_than_half_the_tray(side: str) -> None:
    """Across 100 mm, one return of 60 mm leaves 40 mm; two of them would meet."""
    assert Tray(length_mm=100, width_mm=100, **{side: 80.0}).faults(60) == ()
    both = (
        {"front_mm": 80.0, "back_mm": 80.0}
        if side in ("front_mm", "back_mm")
        else {"left_mm": 80.0, "right_mm": 80.0}
    )
    assert Tray(length_mm=100, width_mm=100, **both).faults(60) != ()
