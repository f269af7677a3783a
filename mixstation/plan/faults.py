"""Why there is no plan: a type of each kind of reason, whose fields are the values of its sentence.

The sentences are in `mixstation/wording/plan.py`; those of pieces that cannot be cast are types of
`mixstation/plan/faults_of_pieces.py`.
"""

from collections.abc import Iterable
from fractions import Fraction

from mixstation.coded import Coded, PlainCode
from mixstation.plan.faults_of_pieces import PieceFault
from mixstation.proportion.error import FigureTrouble
from mixstation.recipe.proportions import ScalingTrouble


class Plain(PlainCode):
    """Reasons that need no figure."""

    NOTHING_TO_MIX = "nothing-to-mix"
    UNDER_A_DIVISION = "under-a-division"
    NO_RECIPE = "no-recipe"
    STOCK_UNKNOWN = "stock-unknown"
    FACE_COAT_ONLY = "face-coat-only"
    NEGATIVE_SETTING = "negative-setting"
    CLAIM_SIZE = "claim-size"


class NotSand(Coded, code="not-sand"):
    """The recipe has no such sand, but these, or none."""

    asked: str
    known: str


class NothingOnHand(Coded, code="nothing-on-hand"):
    """There is none of it in the stock."""

    material: str


class NoPackSize(Coded, code="no-pack-size"):
    """The recipe does not say what a pack of it holds."""

    material: str


class MoistureRange(Coded, code="moisture-range"):
    """No sand is so wet."""

    material: str
    found_fraction: Fraction
    limit_fraction: Fraction


class BucketSize(Coded, code="bucket-size"):
    """The bucket's volume and fills do not go together."""

    volume_l: float


class BucketTooSmall(Coded, code="bucket-too-small"):
    """No more may go in than stays in."""

    limit_l: float
    loss_l: float


class MixOverBucket(Coded, code="mix-over-bucket"):
    """One bucketful is more than the bucket holds to the brim.

    Attributes:
        least_count: Bucketfuls that would do.
        large_l: Bucket that would do.
    """

    mixed_l: float
    volume_l: float
    least_count: int
    large_l: float


class TooManyBuckets(Coded, code="too-many-buckets"):
    """More buckets than one plan has."""

    needed_l: float
    found_count: int
    limit_count: int


class BucketOverLimit(Coded, code="bucket-over-limit"):
    """In so few buckets each would be too full."""

    asked_count: int
    least_count: int
    held_l: float
    limit_l: float


class BucketCount(Coded, code="bucket-count"):
    """Fewer buckets than one were asked for."""

    found_count: int


class WasteRange(Coded, code="waste-range"):
    """No job wastes so much."""

    found_fraction: Fraction


class ScaleFigures(Coded, code="scale-figures"):
    """A scale's capacity and division do not go together."""

    scale_name: str


class DensityRange(Coded, code="density-range"):
    """No fresh mix is so dense or so light."""

    found_kg_m3: float


class VolumeRange(Coded, code="volume-range"):
    """No such volume can be planned."""

    found_l: float


class Temperature(Coded, code="temperature"):
    """The formulas do not answer for a figure of the day."""

    figure: FigureTrouble


class PanTest(Coded, code="pan-test"):
    """Two masses that are no pan test."""

    wet_mg: int
    dry_mg: int


PlanTrouble = (
    NotSand
    | NothingOnHand
    | NoPackSize
    | MoistureRange
    | BucketSize
    | BucketTooSmall
    | MixOverBucket
    | TooManyBuckets
    | BucketOverLimit
    | BucketCount
    | WasteRange
    | ScaleFigures
    | DensityRange
    | VolumeRange
    | PanTest
)
PlanFault = Plain | Temperature | ScalingTrouble | PieceFault | PlanTrouble


class PlanRefused(ValueError):  # noqa: N818 - a refusal that lists faults, which are the errors
    """A plan cannot be made; `faults` says why, all together."""

    def __init__(self, faults: Iterable[PlanFault]) -> None:
        """Keep the faults."""
        self.faults = tuple(faults)
        super().__init__("; ".join(f"{fault.about}: {fault.code}" for fault in self.faults))


def refused(fault: PlanFault) -> PlanRefused:
    """A refusal for one reason. Source: Definition."""
    return PlanRefused([fault])
