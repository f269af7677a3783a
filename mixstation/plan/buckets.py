"""How many buckets, and equal shares of every material in whole divisions of the scale that weighs it."""

import math
from collections.abc import Sequence
from fractions import Fraction

from mixstation.frozen import Frozen
from mixstation.plan.faults import BucketSize, BucketTooSmall, MixOverBucket, refused
from mixstation.units.plausible import RANGES

EASY_FRACTION = Fraction(1, 3)
LIMIT_FRACTION = Fraction(2, 3)
MAX_BUCKET_COUNT = int(RANGES["bucket count"].most)


class Bucket(Frozen):
    """A mixing bucket; its tare is 0 where it is not known."""

    volume_l: float
    tare_mg: int = 0
    easy_fraction: Fraction = EASY_FRACTION
    limit_fraction: Fraction = LIMIT_FRACTION

    @property
    def easy_l(self) -> float:
        """Volume that mixes with ease, litres. Source: Definition."""
        return self.volume_l * float(self.easy_fraction)

    @property
    def limit_l(self) -> float:
        """Largest volume to fill, litres. Source: Definition."""
        return self.volume_l * float(self.limit_fraction)


class BucketCount(Frozen):
    """How many buckets a volume takes; `easy_count` is None where what stays in each is more than mixes with ease."""

    easy_count: int | None
    least_count: int


def bucket_count(needed_l: float, *, loss_l: float, bucket: Bucket) -> BucketCount:
    """Buckets of equal mix for a volume, when some of each stays in the bucket.

    Args:
        needed_l: Volume to come out of the buckets together, above 0.
        loss_l: What stays in each bucket, 0 or more.

    Raises:
        PlanRefused: "bucket-size" for a bucket without volume or with fill settings out of order,
            "bucket-too-small" where the loss fills it.

    Source: Common practice, no source: a third of the bucket mixes with ease, two thirds are the limit.

    Example:
        >>> bucket_count(14.0, loss_l=0.25, bucket=Bucket(volume_l=25.0))
        BucketCount(easy_count=2, least_count=1)
    """
    if not (0 < bucket.volume_l < math.inf and 0 < bucket.easy_fraction <= bucket.limit_fraction <= 1):
        raise refused(BucketSize(volume_l=bucket.volume_l))
    if bucket.limit_l <= loss_l:
        raise refused(BucketTooSmall(limit_l=bucket.limit_l, loss_l=loss_l))
    # A hair's breadth over a whole count is rounding, not another bucket.
    least = max(1, math.ceil(needed_l / (bucket.limit_l - loss_l) - 1e-9))
    easy = None if bucket.easy_l <= loss_l else max(1, math.ceil(needed_l / (bucket.easy_l - loss_l) - 1e-9))
    return BucketCount(easy_count=easy, least_count=least)


def check_it_fits(mixed_l: float, bucket: Bucket) -> None:
    """Refuse one bucketful that no bucket of that size can hold.

    Raises:
        PlanRefused: "mix-over-bucket".
    """
    if mixed_l > bucket.volume_l:
        raise refused(
            MixOverBucket(
                mixed_l=mixed_l,
                volume_l=bucket.volume_l,
                least_count=math.ceil(mixed_l / bucket.limit_l),
                large_l=mixed_l / float(bucket.limit_fraction),
            )
        )


def in_divisions(shares_mg: Sequence[Fraction], division_mg: int, *, down: bool = False) -> tuple[int, ...]:
    """Round shares to whole divisions, each by less than one, so that their sum is the rounded sum; milligrams.

    Args:
        shares_mg: Exact shares in order, 0 or more.
        division_mg: Smallest step of the scale, milligrams, above 0.
        down: The sum is rounded down, not to the nearest.

    Source: Definition: differences of the rounded running sum; halves go to the even count, as at the bucket.

    Example:
        >>> in_divisions([Fraction(10_000, 3)] * 3, 1000)
        (3000, 4000, 3000)
    """
    rounded: list[int] = []
    running, given = Fraction(0), 0
    for share in shares_mg:
        running += share
        upto = math.floor(running / division_mg) if down else round(running / division_mg)
        rounded.append((upto - given) * division_mg)
        given = upto
    return tuple(rounded)
