"""What a job is asked with, and what its plan says."""

from dataclasses import field
from datetime import date
from fractions import Fraction

from mixstation.frozen import Frozen
from mixstation.plan.buckets import Bucket
from mixstation.plan.cautions import Caution
from mixstation.plan.checks import YieldClaim
from mixstation.plan.cost import Cost
from mixstation.plan.dosing import DoseWeighing, Scale
from mixstation.plan.pieces import LayerVolume, Piece
from mixstation.plan.rescue import RescueBag
from mixstation.plan.stock import StockLine, StockTake
from mixstation.plan.temperature import Climate, TemperaturePlan
from mixstation.plan.timing import MINUTES_TO_PLACE, LayerWindow, Timing
from mixstation.plan.vessels import VesselOnFile
from mixstation.plan.water_ratios import WaterRatio
from mixstation.plan.weigh_out import BucketPlan
from mixstation.proportion.volume import ClaimedYield
from mixstation.recipe.model import Recipe

WASTE_FRACTION = Fraction(8, 100)
"""Left on tools and trimmed off. Source: Common practice, no source: 5 to 10 %."""

LOSS_PER_BUCKET_MG = 500_000
"""Stays in the bucket and on the paddle. Source: Common practice, no source: 0.3 to 0.8 kg."""


class ForPieces(Frozen):
    """Enough for these pieces."""

    pieces: tuple[Piece, ...]


class ForVolume(Frozen):
    """Enough to fill a volume, litres."""

    volume_l: float


class ForMass(Frozen):
    """Everything weighed in adds up to this."""

    mass_mg: int


class ForBags(Frozen):
    """What bags of one material make, parts of one too."""

    material: str
    count: Fraction = Fraction(1)


class ForStock(Frozen):
    """The largest batch that the stock allows."""


JobAmount = ForPieces | ForVolume | ForMass | ForBags | ForStock


class Shop(Frozen):
    """Settings of the shop.

    Attributes:
        vessels: Buckets and tubs that were weighed empty, that of `bucket` among them.
        waste_fraction: Mix wasted, of the mould's volume.
        loss_per_bucket_mg: Mix that stays in each bucket.
        file: The file these were looked for in; "" for none.
    """

    bucket: Bucket
    scales: tuple[Scale, ...] = ()
    tub_tare_mg: int = 0
    vessels: tuple[VesselOnFile, ...] = ()
    waste_fraction: Fraction = WASTE_FRACTION
    loss_per_bucket_mg: int = LOSS_PER_BUCKET_MG
    window: LayerWindow = field(default_factory=LayerWindow)
    place_min: float = MINUTES_TO_PLACE
    file: str = field(default="", compare=False)


class JobRequest(Frozen):
    """What to plan.

    Attributes:
        recipe: The recipe, with the sand's moisture as it is today.
        bucket_count: Buckets wanted; None for as many as mix with ease.
        density_kg_m3: Measured density of the fresh mix, or None for absolute volume.
        stock: What is on hand, the oldest lot first; None where stock is not kept.
        today: The day, for the age of the scales' checks; None to leave them alone.
    """

    recipe: Recipe
    amount: JobAmount
    shop: Shop
    bucket_count: int | None = None
    density_kg_m3: float | None = None
    claim: YieldClaim | None = None
    climate: Climate | None = None
    stock: tuple[StockLine, ...] | None = None
    today: date | None = None


class PiecePlan(Frozen):
    """One kind of piece in the plan, with one piece's share of the batch's cost, waste counted."""

    piece: Piece
    layers: tuple[LayerVolume, ...]
    volume_l: float
    mass_mg: int
    cost_cents: int


class VolumeNeed(Frozen):
    """Where the volume goes, litres."""

    mould_l: float
    waste_l: float
    loss_l: float
    mixed_l: float


class PerBag(Frozen):
    """The recipe for one bag of a material, each amount to its own step."""

    material: str
    pack_mg: int
    amounts: tuple[tuple[str, int], ...]
    steps_mg: tuple[tuple[str, int], ...]
    volume_l: float


class JobPlan(Frozen):
    """A planned job.

    Attributes:
        computed_kg_m3: By absolute volume with the recipe's air.
        easy_count: Buckets that mix with ease; None where none would.
        limited_by: Material that limits a batch from stock; "" else.
        per_bag: The recipe for one bag of each blend, or of the cement where there is no blend.
        stock: What it takes from stock; empty where stock is not kept.
        temperature: What the day does to it; None without a climate.
        timing: Order of the work; None where there is one bucket and one layer.
    """

    request: JobRequest
    pieces: tuple[PiecePlan, ...]
    volume: VolumeNeed
    density_kg_m3: float
    computed_kg_m3: float
    totals: tuple[tuple[str, int], ...]
    ratios: tuple[WaterRatio, ...]
    weighings: tuple[DoseWeighing, ...]
    buckets: tuple[BucketPlan, ...]
    easy_count: int | None
    least_count: int
    limited_by: str
    per_bag: tuple[PerBag, ...]
    claim: ClaimedYield | None
    cost: Cost
    stock: tuple[StockTake, ...]
    temperature: TemperaturePlan | None
    timing: Timing | None
    rescue: RescueBag
    cautions: tuple[Caution, ...]
