"""Flags on the bucket and the scale: too full, too heavy, at odds with the entries, a dose too small, no reading."""

from fractions import Fraction

from mixstation.batch.flag.kind import BatchFlag, MaterialFlag
from mixstation.batch.terms import Gravity


class BucketFull(BatchFlag, code="bucket-full"):
    """The mix will fill the bucket further than it is to be filled."""

    worsens = "volume_l"
    volume_l: float
    limit_l: float
    spills: bool

    @property
    def gravity(self) -> Gravity:
        """Over the brim it stops."""
        return "stop" if self.spills else "warn"


class BucketHeavy(BatchFlag, code="bucket-heavy"):
    """The filled bucket will be more than one person lifts."""

    worsens = "mass_mg"
    grave = "note"
    mass_mg: Fraction
    limit_mg: int


class BucketHeavier(BatchFlag, code="bucket-heavier"):
    """The bucket is heavier than its entries."""

    worsens = "by_mg"
    by_mg: Fraction


class BucketLighter(BatchFlag, code="bucket-lighter"):
    """The bucket is lighter than its entries."""

    worsens = "by_mg"
    by_mg: Fraction


class DoseBelowDivision(MaterialFlag, code="dose-below-division"):
    """A dose the scale cannot show."""

    grave = "stop"
    dose_mg: Fraction
    division_mg: int


class DoseSmallForScale(MaterialFlag, code="dose-small-for-scale"):
    """A dose the scale cannot weigh to its tolerance."""

    dose_mg: Fraction
    division_mg: int
    least_mg: int


class TubNotWeighedBack(MaterialFlag, code="tub-not-weighed-back"):
    """What stuck to a tub counts as gone in."""

    grave = "note"


class ScaleSilent(BatchFlag, code="scale-silent"):
    """No live reading comes."""

    clears_itself = True


class ScaleUnreadable(BatchFlag, code="scale-unreadable"):
    """Lines come from the scale, but none of them can be read."""

    clears_itself = True
    shown: str


class ScaleFault(BatchFlag, code="scale-fault"):
    """The scale shows no weight."""

    clears_itself = True
    shown: str


class ScaleUnitChanged(BatchFlag, code="scale-unit-changed"):
    """The scale's unit or step changed in mid-pour."""

    clears_itself = True
    grave = "note"
    bars_taking = True
    shown: str


WeighingFlags = (
    BucketFull
    | BucketHeavy
    | BucketHeavier
    | BucketLighter
    | DoseBelowDivision
    | DoseSmallForScale
    | TubNotWeighedBack
    | ScaleSilent
    | ScaleUnreadable
    | ScaleFault
    | ScaleUnitChanged
)
