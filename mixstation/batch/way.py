"""A way out of a deviation: what to do, where it ends, what it costs and gives up."""

from fractions import Fraction

from mixstation.batch.events import Aim, Amount, WayKind
from mixstation.frozen import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Hindrance:
    """A limit that stops a way, and by how much.

    Attributes:
        limit: "stock", "bucket", "volume", "time", "water-ratio", "dose", "cap" or "division".
        about: Material key, or "".
        by: How far past the limit, in `unit`; negative where it is short of a lower end.
        unit: "mg", "l", "s" or "ratio".
    """

    limit: str
    about: str
    by: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way out, computed.

    Attributes:
        kind: What sort of way.
        goal: Which objective it is best at: "nearest", "least-added", "least-wasted", "same-colour"; "hold-water"
            for leaving it with less water; "" for the ones always listed and for pouring back.
        aim: What to steer to from here; for the bucket after anything taken out.
        pour_back_mg: Water to pour back now.
        scoop_mg: Mixed bucket to take out now.
        additions: To add now, in order, in whole divisions of the scale that weighs each.
        totals: Weighed mass of each material at the end.
        mix_s: Seconds to mix after the additions.
        ratio: Water ratio at the end; None where there is no basis (discard).
        expanded: Its uncertainty, k = 2.
        volume_l: Volume at the end, litres with air.
        cost_cents: Cost of what is added beyond the plan plus what is wasted, in hundredths; None without prices.
        wasted_mg: Mass of mix taken out or thrown away; plain water poured back is not waste.
        short_l: Volume the moulds lack at the end, 0 where they are filled.
        strength_percent: Indicative range of the change in strength against target, (low, high), percent; None where
            the ratio is at target.
        colour_percent: Change of each pigment's dose against target, percent.
        takes_s: Seconds to weigh in all that still goes in and to mix it once, and to take something out; the recipe's
            own mixing and rests come on top.
        working_left_s: Seconds of working time left after it by the earlier estimate; may be negative.
        gives_up: Flag codes it leaves standing.
        hindrances: What stops it; empty for a way that can be taken.
    """

    kind: WayKind
    goal: str
    aim: Aim
    pour_back_mg: int
    scoop_mg: int
    additions: tuple[Amount, ...]
    totals: tuple[Amount, ...]
    mix_s: int
    ratio: Fraction | None
    expanded: float
    volume_l: float
    cost_cents: int | None
    wasted_mg: int
    short_l: float
    strength_percent: tuple[float, float] | None
    colour_percent: tuple[tuple[str, float], ...]
    takes_s: int
    working_left_s: int | None
    gives_up: tuple[str, ...]
    hindrances: tuple[Hindrance, ...]
