"""What is worth a caution before the first water: a type of each kind, whose fields are the values of its sentence.

The sentences are in `mixstation/wording/caution_lines.py`.
"""

from fractions import Fraction

from mixstation import coded
from mixstation.proportion.temperature import TemperatureCaution

_PRACTICE = "common practice"
_ACI_306 = "from memory of ACI 306R"
_C138 = "ASTM C138, from memory"
_FILL = "common practice: easy to mix to a third of the bucket, never above two thirds"
_LIFT = "NIOSH lifting equation (1994): 23 kg in the best posture, less in practice"
_ROUNDING = "JCGM 100 and JCGM 106, from memory: rounding of a net of two readings, at about 95 %"
_THICKNESS = "common practice for thin glass-fibre-reinforced concrete"
_WINDOW = "common practice; sources give 10 to 60 minutes, so go by the feel of the face"
_WORKING = "the recipe's own working time, moved to the mix temperature"


class MaterialCaution(coded.Caution):
    """A caution about a material."""

    material: str


class PieceCaution(coded.Caution):
    """A caution about a kind of pieces, by its name."""

    piece: str


class BucketCaution(coded.Caution):
    """A caution about a bucket."""

    bucket_number: int


class AirBelowFilmForming(coded.Caution, code="air-below-film-forming", source="the polymer's label"):
    """The shop is too cold for the polymer to form a film."""

    is_grave = True
    found_c: float
    limit_c: float


class WantedOutOfReach(coded.Caution, code="wanted-out-of-reach", source=_ACI_306):
    """No water that may be used warms the mix so far."""

    wanted_c: float
    reached_c: float
    water_c: float


class WantedTooCold(coded.Caution, code="wanted-too-cold", source="ACI 305R formula, from memory"):
    """Neither cold water nor ice cools the mix so far."""

    wanted_c: float
    mix_c: float


class WorkingTimeShort(coded.Caution, code="working-time-short", source=_PRACTICE):
    """The mix may stiffen before the steps are through."""

    least_min: float


class DryingThinSkin(
    coded.Caution,
    code="drying-thin-skin",
    source="Menzel (1954) as in ACI 305R; act above 0.5 kg/m²/h on thin skins: common practice",
):
    """A thin skin may dry too fast."""

    rate_kg_m2_h: float


class DryingAnySurface(coded.Caution, code="drying-any-surface", source="ACI 305R: act above 1.0 kg/m²/h"):
    """Any fresh face may dry too fast."""

    rate_kg_m2_h: float


class YieldContradicts(
    coded.Caution, code="yield-contradicts", source="ACI 211.1-91, absolute volume, from memory"
):
    """Absolute volume contradicts a claimed yield."""

    claimed_l: float
    computed_l: float
    implied_kg_m3: float
    computed_kg_m3: float
    deviation_fraction: float


class OddDensity(MaterialCaution, code="odd-density", source=_PRACTICE):
    """A density that a material of its role hardly ever has."""

    found_kg_m3: float
    usual_kg_m3: Fraction


class DenserThanAirFree(coded.Caution, code="denser-than-air-free", source=_C138):
    """A measured density that the materials have not even without air."""

    is_grave = True
    measured_kg_m3: float
    air_free_kg_m3: float


class DensityContradicts(coded.Caution, code="density-contradicts", source=_C138):
    """A measured density that the recipe's own figures contradict."""

    measured_kg_m3: float
    computed_kg_m3: float
    air_fraction: float


class BucketAboveEasy(BucketCaution, code="bucket-above-easy", source=_FILL):
    """A bucket is filled above what mixes with ease."""

    held_l: float
    easy_l: float


class BucketHeavy(BucketCaution, code="bucket-heavy", source=_LIFT):
    """A full bucket is more than one person should lift."""

    found_mg: int
    limit_mg: int


class PieceHeavy(PieceCaution, code="piece-heavy", source=_LIFT):
    """A piece is more than one person should lift."""

    found_mg: int
    limit_mg: int


class ThicknessUnusual(PieceCaution, code="thickness-unusual", source=_THICKNESS):
    """Thin pieces are hardly ever that thick."""

    found_mm: float
    least_mm: float
    most_mm: float


class FaceThicknessUnusual(PieceCaution, code="face-thickness-unusual", source=_THICKNESS):
    """Face coats are hardly ever that thick."""

    found_mm: float
    least_mm: float
    most_mm: float


class NoScale(coded.Caution, code="no-scale", source=_ROUNDING):
    """No scale is on file.

    Attributes:
        file: Where scales are looked for; "" where that is no file.
    """

    division_mg: int
    file: str


class DoseCaution(MaterialCaution):
    """A dose that the scale on file cannot weigh as it is.

    Attributes:
        error_fraction: How far off it may be, of the dose.
    """

    dose_mg: int
    least_mg: int
    scale: str
    division_mg: int
    error_fraction: float


class DoseDiluted(DoseCaution, code="dose-diluted", source=_ROUNDING):
    """It is weighed as a dilution."""


class DoseTooSmall(DoseCaution, code="dose-too-small", source=_ROUNDING):
    """It is weighed by difference, and less surely."""


class ScaleUnchecked(coded.Caution, code="scale-unchecked", source=_PRACTICE):
    """A scale without a check."""

    scale_name: str


class ScaleCheckOld(coded.Caution, code="scale-check-old", source=_PRACTICE):
    """A check too long ago."""

    scale_name: str
    age_days: int


class SplitAdded(coded.Caution, code="split-added", source=_PRACTICE):
    """The plan takes out a face coat that the recipe does not."""

    layer: str


class SplitLeftOut(coded.Caution, code="split-left-out", source=_PRACTICE):
    """The recipe takes out a face coat that no piece has."""

    layer: str


class FaceFromSeveralBuckets(coded.Caution, code="face-from-several-buckets", source=_PRACTICE):
    """The face coat comes from buckets whose colour may differ."""

    bucket_count: int


class StiffBeforePlaced(BucketCaution, code="stiff-before-placed", source=_WORKING):
    """A bucket may stiffen before it is placed."""

    placed_min: float
    working_min: float


class BackingAfterWindow(BucketCaution, code="backing-after-window", source=_WINDOW):
    """The backing goes on too late."""

    after_min: float
    window_min: float


class Short(MaterialCaution, code="short", source="stock on file"):
    """There is too little on hand.

    Attributes:
        buy_count: Packs to buy; None where the size of a pack is not known.
    """

    short_mg: int
    need_mg: int
    buy_count: int | None


class SeveralLots(MaterialCaution, code="several-lots", source=_PRACTICE):
    """Lots whose colour may differ."""

    lots: str


OfDay = (
    TemperatureCaution
    | AirBelowFilmForming
    | WantedOutOfReach
    | WantedTooCold
    | WorkingTimeShort
    | DryingThinSkin
    | DryingAnySurface
)
OfFigures = (
    YieldContradicts
    | OddDensity
    | DenserThanAirFree
    | DensityContradicts
    | BucketAboveEasy
    | BucketHeavy
    | PieceHeavy
    | ThicknessUnusual
    | FaceThicknessUnusual
)
OfWork = (
    NoScale
    | DoseDiluted
    | DoseTooSmall
    | ScaleUnchecked
    | ScaleCheckOld
    | SplitAdded
    | SplitLeftOut
    | FaceFromSeveralBuckets
    | StiffBeforePlaced
    | BackingAfterWindow
    | Short
    | SeveralLots
)
Caution = OfDay | OfFigures | OfWork
