"""A way out of a deviation: what to do, where it ends, what it costs and gives up."""

from fractions import Fraction

from mixstation.batch.events import Aim, Amount, WayKind, WayTaken
from mixstation.coded import Coded
from mixstation.frozen import Frozen


class StockLacks(Coded, code="stock"):
    """There is less on hand than it takes."""

    material: str
    short_mg: Fraction


class BucketOver(Coded, code="bucket"):
    """The bucket would be filled further than it is to be."""

    over_l: float


class MouldsShort(Coded, code="volume"):
    """The moulds would not be full."""

    short_l: float


class EndsLate(Coded, code="time"):
    """It would end past the working time."""

    past_s: int


class WaterOff(Coded, code="water-ratio"):
    """The water ratio would end outside its band; `off_ratio` is negative where it is short of it."""

    off_ratio: Fraction

    @property
    def by_ratio(self) -> Fraction:
        """By how much, either way."""
        return abs(self.off_ratio)


class DoseOff(Coded, code="dose"):
    """A dose would end outside its band; `off_mg` is negative where it is short of it."""

    material: str
    off_mg: Fraction

    @property
    def by_mg(self) -> Fraction:
        """By how much, either way."""
        return abs(self.off_mg)


class CapOver(Coded, code="cap"):
    """A dose would end over its limit."""

    material: str
    over_mg: Fraction


class PigmentBlendOver(Coded, code="pigment-blend"):
    """All pigment together would end over its limit."""

    over_mg: Fraction


# A limit that stops a way, and by how much.
Hindrance = StockLacks | BucketOver | MouldsShort | EndsLate | WaterOff | DoseOff | CapOver | PigmentBlendOver


class Rest(Frozen):
    """What a way still brings into the bucket, as it is weighed: after a layer, less goes in.

    Attributes:
        added: Of each material that still goes in, in all, in whole divisions of the scale that weighs it.
        totals: Of each material, what is in once the way took out what it takes out, and what goes in from then on.
        after_layer: Materials of which some goes in after a layer was taken out.
    """

    added: tuple[Amount, ...] = ()
    totals: tuple[Amount, ...] = ()
    after_layer: tuple[str, ...] = ()


class Way(Frozen):
    """One way out, computed.

    Attributes:
        goal: Which objective it is best at: "nearest", "least-added", "least-wasted", "same-colour"; "hold-water"
            for leaving it with less water; "" for the ones always listed and for pouring back.
        aim: What to steer to from here; for the bucket after anything taken out.
        additions: To add now, in order, in whole divisions of the scale that weighs each.
        totals: Weighed mass of each material at the end, of the whole batch with all layers.
        rest: What of that still goes into the bucket.
        divisions: Of the scale that weighs each material, which its masses are said in.
        ratio: Water ratio at the end; None where there is no basis (discard).
        expanded: Its uncertainty, k = 2.
        cost_cents: Cost of what is added beyond the plan plus what is wasted, in hundredths; None without prices.
        wasted_mg: Mass of mix taken out or thrown away; plain water poured back is not waste.
        short_l: Volume the moulds lack at the end, 0 where they are filled.
        strength_percent: Indicative range of the change in strength against target, (low, high), percent; None where
            the ratio is at target.
        colour_percent: Change of each pigment's dose against target, percent.
        takes_s: Seconds to weigh in all that still goes in and to mix it once, and to take something out; the recipe's
            own mixing and rests come on top.
        working_left_s: Seconds of working time left after it by the earlier estimate; may be negative.
        lifted_mg: The bucket with all of it at the end, before a layer is taken out; the bucket's own mass counts once
            it was weighed.
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
    lifted_mg: int = 0
    rest: Rest = Rest()
    divisions: tuple[Amount, ...] = ()
    gives_up: tuple[str, ...]
    hindrances: tuple[Hindrance, ...]


def way_taken(way: Way, said: str) -> WayTaken:
    """The fact that a way was chosen; `said` is the way as it was put to the mixer."""
    return WayTaken(
        way=way.kind,
        aim=way.aim,
        pour_back_mg=way.pour_back_mg,
        scoop_mg=way.scoop_mg,
        make_up=tuple(amount.material for amount in way.additions),
        mix_s=way.mix_s,
        gives_up=way.gives_up,
        said=said,
    )
