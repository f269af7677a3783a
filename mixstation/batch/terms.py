"""What facts are made of: stamps, amounts, aims, and the words they use."""

from fractions import Fraction
from typing import Literal

from mixstation.frozen import Frozen

Source = Literal["scale", "typed", "estimated"]
Weighing = Literal["bucket", "tub", "supply"]
Verdict = Literal["too-stiff", "right", "too-loose", "stiff-and-warm"]
Gravity = Literal["stop", "warn", "note"]
WayKind = Literal[
    "pour-back", "hold-less", "grow", "powder-only", "scoop-and-grow", "shrink", "leave", "discard"
]


class Stamp(Frozen):
    """When and by whom.

    Attributes:
        utc_ms: Wall clock, milliseconds since 1970 UTC.
        offset_min: The wall clock's offset from UTC, minutes.
        boot_ms: Suspend-aware milliseconds since the machine started; durations come from this.
        mono_ms: Monotonic milliseconds that stand still in suspend; mixing timers come from this.
        boot_id: Names one run of the machine; boot_ms and mono_ms compare only within it.
        late: Written after storage had been away.
    """

    utc_ms: int
    offset_min: int
    boot_ms: int
    mono_ms: int
    boot_id: str
    who: str
    late: bool = False


class Amount(Frozen):
    """A mass of one material."""

    material: str
    mass_mg: int


class DoseAim(Frozen):
    """A dose to steer by, as a fraction of the recipe's own basis for that material."""

    material: str
    fraction: Fraction


class Aim(Frozen):
    """What the batch is steered to: powder totals, doses on them, and the water ratio.

    `powders` are weighed masses (moist sand as it is weighed) for what is in this bucket.
    """

    powders: tuple[Amount, ...]
    doses: tuple[DoseAim, ...]
    water_ratio: Fraction


class ScaleOnFile(Frozen):
    """The scale a batch is started with; typed weights are taken to its division."""

    name: str
    capacity_mg: int
    division_mg: int
    checked: str = ""


class WeighedApart(Frozen):
    """A material whose dose is too small for the main scale, and the finer scale on file that it is weighed on.

    Attributes:
        unit: What its entry says that it shows; "" where it says nothing.
    """

    material: str
    scale: str
    division_mg: int
    unit: str = ""


class Lot(Frozen):
    """Which bag or lot a material came from."""

    material: str
    lot: str


class Mixed(Frozen):
    """How long a mixing step took."""

    step: str
    took_s: int


class Got(Frozen):
    """What an earlier batch of the colour really got; the batch that knows of it is steered to it, or only told.

    Attributes:
        bucket_number: Of the same plan; 0 for a batch of none, or of another.
        doses: Of pigments and polymers, each on its own basis and count.
        lots: As far as they were known.
        steers: Whether this batch is steered to it.
    """

    batch_id: str
    bucket_number: int
    water_ratio: Fraction
    doses: tuple[DoseAim, ...] = ()
    mixed: tuple[Mixed, ...] = ()
    lots: tuple[Lot, ...] = ()
    mix_milli_c: int | None = None
    shop_c: float | None = None
    steers: bool = True
