"""Pieces and their layers."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.plan.faults import PlanRefused
from mixstation.plan.pieces import Layer, Piece, coats, layer_volumes, piece_cautions, piece_faults
from mixstation.plan.shapes import Profile, Slab, Tray, WaterFill


def piece(shape: object, layers: tuple[Layer, ...], count: int = 1) -> Piece:
    return Piece(name="test piece", shape=shape, layers=layers, count=count)  # type: ignore[arg-type]


def codes(found: Piece) -> list[str]:
    assert all(fault.about == "test piece" for fault in piece_faults(found))
    return [fault.code for fault in piece_faults(found)]


def test_bench_top_with_a_face_coat_by_hand() -> None:
    # 700 × 450 mm is 0.315 m²: 3 mm of it is 0.945 L, 15 mm is 4.725 L.
    top = piece(Slab(length_mm=700, width_mm=450), coats(18, 3))
    volumes = layer_volumes(top)
    assert [volume.name for volume in volumes] == ["face coat", "backing coat"]
    assert [volume.volume_l for volume in volumes] == pytest.approx([0.945, 4.725])
    assert not [*piece_cautions(top)]


def test_tray_layers_lie_inside_one_another_by_hand() -> None:
    # Outside 400 × 300 × 80: the first 3 mm by the outer sizes, the next 12 mm by those 3 mm smaller all round.
    tray = piece(
        Tray(length_mm=400, width_mm=300, front_mm=80, back_mm=80, left_mm=80, right_mm=80), coats(15, 3)
    )
    outer = 400 * 300 * 80 - 394 * 294 * 77
    inner = 394 * 294 * 77 - 370 * 270 * 65
    assert [volume.volume_l for volume in layer_volumes(tray)] == pytest.approx([outer / 1e6, inner / 1e6])


@given(
    st.lists(st.floats(min_value=0.5, max_value=12), min_size=1, max_size=4),
    st.floats(min_value=120, max_value=900),
    st.floats(min_value=60, max_value=300),
)
def test_layers_add_up_to_one_coat_of_the_same_thickness(
    thicknesses_mm: list[float], length_mm: float, height_mm: float
) -> None:
    tray = Tray(length_mm=length_mm, width_mm=length_mm, front_mm=height_mm, left_mm=height_mm / 1.1)
    layers = tuple(Layer(name=f"layer {at}", thickness_mm=each) for at, each in enumerate(thicknesses_mm))
    in_layers = layer_volumes(piece(tray, layers))
    (at_once,) = layer_volumes(piece(tray, coats(sum(thicknesses_mm))))
    assert sum(volume.volume_l for volume in in_layers) == pytest.approx(at_once.volume_l)
    assert all(volume.volume_l > 0 for volume in in_layers)


def test_a_solid_s_face_coat_is_part_of_it() -> None:
    cap = piece(
        Profile(section=((0, 0), (200, 0), (200, 45), (0, 45)), length_mm=1000, faced_mm=290), coats(None, 3)
    )
    # 290 × 1000 × 3 mm of 200 × 45 × 1000 mm.
    assert [volume.volume_l for volume in layer_volumes(cap)] == pytest.approx([0.87, 8.13])
    assert not [*piece_cautions(cap)]


def test_refuses_with_every_fault_at_once() -> None:
    broken = piece(Slab(length_mm=-600, width_mm=0), coats(20, 25), count=0)
    with pytest.raises(PlanRefused) as caught:
        layer_volumes(broken)
    assert [fault.code for fault in caught.value.faults] == [
        "layer-thickness",
        "piece-count",
        "size-not-positive",
        "size-not-positive",
    ]


@pytest.mark.parametrize(
    ("found", "expected"),
    [
        (piece(Slab(length_mm=600, width_mm=300), ()), ["no-layers"]),
        (piece(Slab(length_mm=600, width_mm=300), coats(None)), ["layer-thickness-missing"]),
        (piece(Slab(length_mm=600, width_mm=300), coats(math.nan)), ["layer-thickness"]),
        (piece(WaterFill(water_kg=4, water_c=18), coats(15)), ["solid-has-thickness"]),
        (piece(WaterFill(water_kg=4, water_c=18), coats(None, 3)), ["faced-missing"]),
        (piece(WaterFill(water_kg=1, water_c=18, face_mm2=500_000), coats(None, 3)), ["face-over-piece"]),
        (piece(WaterFill(water_kg=4, water_c=18), coats(None), count=1001), ["piece-count"]),
        # Water too warm to reckon the volume of the piece with: its face coat is not held against that volume.
        (piece(WaterFill(water_kg=1, water_c=55, face_mm2=500_000), coats(None, 3)), ["water-c"]),
    ],
)
def test_faults_of_layers(found: Piece, expected: list[str]) -> None:
    assert codes(found) == expected


@pytest.mark.parametrize(
    ("thickness_mm", "face_mm", "expected"),
    [
        (10, 2, []),
        (25, 4, []),
        (9, 0, ["thickness-unusual"]),
        (200, 0, ["thickness-unusual"]),
        (20, 1.5, ["face-thickness-unusual"]),
        (30, 5, ["face-thickness-unusual", "thickness-unusual"]),
    ],
)
def test_cautions_of_thickness(thickness_mm: float, face_mm: float, expected: list[str]) -> None:
    top = piece(Slab(length_mm=700, width_mm=450), coats(thickness_mm, face_mm))
    assert [caution.code for caution in piece_cautions(top)] == expected
    assert all("common practice" in caution.source for caution in piece_cautions(top))
