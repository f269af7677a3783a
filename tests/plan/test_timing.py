"""Order and timing of buckets and layers."""

import pytest

from mixstation.plan.cautions import BackingAfterWindow, StiffBeforePlaced
from mixstation.plan.layering import without_split
from mixstation.plan.timing import LayerWindow, Timing, mixing_min, plan_timing, timing_cautions
from tests.plan.recipes import raw_recipe

WINDOW = LayerWindow(from_min=10.0, to_min=30.0)


def timing(*, face_buckets: int, bucket_count: int, working_min: float = 28.0) -> Timing:
    return plan_timing(
        raw_recipe(),
        face_buckets=face_buckets,
        bucket_count=bucket_count,
        working_min=working_min,
        window=WINDOW,
        place_min=6.0,
    )


def test_mixing_time_by_hand() -> None:
    # Eight additions of half a minute, 120 s mixing, four releases of 30 s; then the split and the fibres.
    assert mixing_min(raw_recipe(), until_split=True) == pytest.approx(8 * 0.5 + 2 + 2)
    assert mixing_min(raw_recipe()) == pytest.approx(8 + 0.5 + 0.5)
    assert mixing_min(without_split(raw_recipe())) == pytest.approx(8 + 0.5)


def test_one_bucket_with_a_face_coat_waits_for_the_face() -> None:
    plan = timing(face_buckets=1, bucket_count=1)
    assert (plan.face_placed_min, plan.backing_from_min, plan.backing_to_min) == (14.0, 24.0, 44.0)
    (bucket,) = plan.buckets
    # Mixed with its fibres at 9 + 6 min, but the face is firm only at 24.
    assert (bucket.start_min, bucket.ready_min, bucket.begin_min, bucket.placed_min) == (0, 15, 24, 30)


def test_a_bucket_has_to_be_placed_not_only_begun_before_it_stiffens() -> None:
    # Begun at 24 and placed at 30: 28 minutes end in between.
    (late,) = timing_cautions(timing(face_buckets=1, bucket_count=1, working_min=28.0))
    assert (late.code, late.about) == ("stiff-before-placed", "1")
    assert late == StiffBeforePlaced(bucket_number=1, placed_min=30.0, working_min=28.0)
    assert not [*timing_cautions(timing(face_buckets=1, bucket_count=1, working_min=30.0))]


def test_buckets_follow_one_another_and_overrun_the_window() -> None:
    plan = timing(face_buckets=1, bucket_count=4, working_min=30.0)
    assert [bucket.start_min for bucket in plan.buckets] == [0, 30, 45, 60]
    assert [bucket.begin_min for bucket in plan.buckets] == [24, 39, 54, 69]
    window_min = plan.backing_to_min - plan.face_placed_min
    assert [*timing_cautions(plan)] == [
        BackingAfterWindow(bucket_number=3, after_min=40.0, window_min=window_min),
        BackingAfterWindow(bucket_number=4, after_min=55.0, window_min=window_min),
    ]


def test_a_short_working_time_is_said_of_the_bucket_that_waits() -> None:
    plan = timing(face_buckets=1, bucket_count=2, working_min=20.0)
    assert [*timing_cautions(plan)] == [StiffBeforePlaced(bucket_number=1, placed_min=30.0, working_min=20.0)]


def test_two_buckets_of_face_coat_come_before_any_backing() -> None:
    plan = timing(face_buckets=2, bucket_count=2)
    assert plan.face_placed_min == 28.0
    assert [bucket.start_min for bucket in plan.buckets] == [0, 14]
    assert [bucket.begin_min for bucket in plan.buckets] == [38, 44]


def test_without_a_face_coat_there_is_no_window() -> None:
    plan = timing(face_buckets=0, bucket_count=2)
    assert plan.face_placed_min is None
    assert plan.backing_from_min is None
    assert [bucket.begin_min for bucket in plan.buckets] == [9, 24]


def test_working_time_of_a_later_bucket_counts_from_its_own_start() -> None:
    # The second is begun at 30 and placed at 45, a quarter of an hour after its first water; 14 minutes do not do.
    late = timing_cautions(timing(face_buckets=1, bucket_count=2, working_min=14.0))
    (second,) = (caution for caution in late if caution.about == "2")
    assert isinstance(second, StiffBeforePlaced)
    assert (second.placed_min, second.working_min) == (15.0, 14.0)
