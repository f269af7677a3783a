"""How many buckets, and shares that add up."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.plan.buckets import Bucket, BucketCount, bucket_count, in_divisions
from mixstation.plan.faults import PlanRefused

masses_mg = st.fractions(min_value=0, max_value=50_000_000, max_denominator=10_000)
divisions_mg = st.sampled_from([1, 10, 100, 500, 1000, 2000, 4536, 5000, 20_000])


@given(st.lists(masses_mg, min_size=1, max_size=12), divisions_mg)
def test_shares_are_whole_divisions_and_add_up(shares: list[Fraction], division_mg: int) -> None:
    rounded = in_divisions(shares, division_mg)
    assert all(share % division_mg == 0 for share in rounded)
    assert all(abs(got - wanted) < division_mg for got, wanted in zip(rounded, shares, strict=True))
    assert abs(sum(rounded) - sum(shares)) <= Fraction(division_mg, 2)


@given(masses_mg, st.integers(1, 20), divisions_mg)
def test_equal_shares_differ_by_one_division_at_most(whole: Fraction, count: int, division_mg: int) -> None:
    rounded = in_divisions([whole / count] * count, division_mg)
    assert max(rounded) - min(rounded) in (0, division_mg)


@given(st.lists(masses_mg, min_size=1, max_size=12), divisions_mg)
def test_rounded_down_they_are_never_more_than_there_is(shares: list[Fraction], division_mg: int) -> None:
    rounded = in_divisions(shares, division_mg, down=True)
    assert 0 <= sum(shares) - sum(rounded) < division_mg


@given(
    st.floats(min_value=0.05, max_value=400),
    st.floats(min_value=0, max_value=0.9),
    st.floats(min_value=8, max_value=60),
)
def test_counts_fit_and_one_fewer_would_not(needed_l: float, loss_l: float, volume_l: float) -> None:
    bucket = Bucket(volume_l=volume_l)
    count = bucket_count(needed_l, loss_l=loss_l, bucket=bucket)
    for found, most_l in ((count.least_count, bucket.limit_l), (count.easy_count, bucket.easy_l)):
        assert found is not None
        assert needed_l / found + loss_l <= most_l * (1 + 1e-6)
        if found > 1:
            assert needed_l / (found - 1) + loss_l > most_l * (1 - 1e-6)


def test_a_bucket_just_full_is_not_two() -> None:
    bucket = Bucket(volume_l=30.0)
    assert bucket_count(10.0, loss_l=0.0, bucket=bucket) == BucketCount(easy_count=1, least_count=1)
    assert bucket_count(20.0, loss_l=0.0, bucket=bucket) == BucketCount(easy_count=2, least_count=1)
    assert bucket_count(20.1, loss_l=0.0, bucket=bucket) == BucketCount(easy_count=3, least_count=2)


def test_fill_is_a_setting() -> None:
    bucket = Bucket(volume_l=30.0, easy_fraction=Fraction(1, 2), limit_fraction=Fraction(3, 5))
    assert bucket_count(16.0, loss_l=0.0, bucket=bucket) == BucketCount(easy_count=2, least_count=1)


@pytest.mark.parametrize(
    ("bucket", "needed_l", "loss_l", "code"),
    [
        (Bucket(volume_l=0.0), 5.0, 0.2, "bucket-size"),
        (Bucket(volume_l=20.0, easy_fraction=Fraction(3, 4)), 5.0, 0.2, "bucket-size"),
        (Bucket(volume_l=20.0, limit_fraction=Fraction(5, 4)), 5.0, 0.2, "bucket-size"),
        (Bucket(volume_l=0.3), 5.0, 0.2, "bucket-too-small"),
    ],
)
def test_refusals(bucket: Bucket, needed_l: float, loss_l: float, code: str) -> None:
    with pytest.raises(PlanRefused) as caught:
        bucket_count(needed_l, loss_l=loss_l, bucket=bucket)
    assert [fault.code for fault in caught.value.faults] == [code]


def test_what_stays_in_the_bucket_may_leave_no_easy_count() -> None:
    count = bucket_count(1.0, loss_l=0.7, bucket=Bucket(volume_l=2.0))
    assert count == BucketCount(easy_count=None, least_count=2)
