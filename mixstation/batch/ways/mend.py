"""What a way does to the bucket, exact, and how far from the target it leaves it."""

from collections.abc import Mapping
from fractions import Fraction

from mixstation.batch.ways.situation import Situation
from mixstation.frozen import Frozen
from mixstation.recipe.model import Role
from mixstation.recipe.proportions import volume_l

SAME_COLOUR_ROLES = frozenset({Role.PIGMENT, Role.FIBRE, Role.POLYMER})


class Mend(Frozen):
    """What is taken out and what is added.

    Attributes:
        scoop_mg: Mixed bucket (or mixed liquid) taken out first.
        left: What is then in the bucket, by material.
        added: What goes in from then on, by material, in whole divisions.
    """

    scoop_mg: int
    left: Mapping[str, Fraction]
    added: Mapping[str, Fraction]

    @property
    def totals(self) -> dict[str, Fraction]:
        """Weighed mass of each material at the end, milligrams."""
        return {key: left + self.added[key] for key, left in self.left.items()}


def as_planned(situation: Situation) -> Mend:
    """Nothing but what the plan still adds."""
    parts = situation.parts
    return Mend(
        scoop_mg=0,
        left={key: part.content_mg for key, part in parts.items()},
        added={key: part.rest_mg for key, part in parts.items()},
    )


def mend_of(situation: Situation, scoop_mg: int, counts: Mapping[str, int]) -> Mend:
    """A mend from whole divisions."""
    left = 1 - Fraction(scoop_mg) / situation.in_bucket_mg if scoop_mg else Fraction(1)
    parts = situation.parts
    return Mend(
        scoop_mg=scoop_mg,
        left={key: part.content_mg * left for key, part in parts.items()},
        added={key: Fraction(counts.get(key, 0) * part.division_mg) for key, part in parts.items()},
    )


class MendScore(Frozen):
    """What ways are compared by; smaller is better.

    Attributes:
        off: Sum of what is off target, each in half widths of its band; rounding does not count.
        colour_off: The same of pigments, fibres and polymers alone, and of the water.
    """

    off: float
    colour_off: float
    extra_mg: float
    wasted_mg: float
    short_l: float

    def beats(self, other: "MendScore") -> bool:
        """Whether it is nowhere worse and somewhere better by more than rounding."""
        pairs = (
            (self.off, other.off, 1e-3),
            (self.colour_off, other.colour_off, 1e-3),
            (self.extra_mg, other.extra_mg, 1.0),
            (self.wasted_mg, other.wasted_mg, 1.0),
            (self.short_l, other.short_l, 1e-4),
        )
        return all(mine <= its + slack for mine, its, slack in pairs) and any(
            mine < its - slack for mine, its, slack in pairs
        )


def score(situation: Situation, mend: Mend) -> MendScore:
    """Compare-by figures of a mend."""
    recipe, totals = situation.run.recipe, mend.totals
    off = colour_off = 0.0
    for key, band in situation.doses.items():
        if band.target:
            part = situation.parts[key]
            away = totals[key] * band.counted - band.target * situation.basis(totals, band.of)
            steps = float(max(Fraction(0), abs(away) - band.fine_mg) / band.half_mg)
            off += steps
            if part.material.role in SAME_COLOUR_ROLES:
                colour_off += steps
    water = situation.water
    if water is not None:
        away = situation.free_water(totals) - water.target * situation.basis(totals, water.of)
        steps = float(max(Fraction(0), abs(away) - water.fine_mg) / water.half_mg)
        off += steps
        colour_off += steps
    off += _powders_off(situation, totals)
    parts = situation.parts
    extra = sum(
        (max(Fraction(0), mend.added[key] - planned_rest(situation, key)) for key in parts), Fraction(0)
    )
    short_l = max(0.0, situation.needed_l - volume_l(recipe, totals))
    return MendScore(
        off=off,
        colour_off=colour_off,
        extra_mg=float(extra),
        wasted_mg=float(mend.scoop_mg),
        short_l=short_l,
    )


def planned_rest(situation: Situation, key: str) -> Fraction:
    """What may go in of a material without counting as more than planned: the rest, rounded up to a division."""
    part = situation.parts[key]
    return part.rest_mg + Fraction(part.division_mg, 2) if part.rest_mg else Fraction(0)


def _powders_off(situation: Situation, totals: Mapping[str, Fraction]) -> float:
    """Least sum over every size of the batch; it is reached where one powder is exactly on."""
    bands = situation.powders
    if not bands:
        return 0.0

    def at(size: Fraction) -> float:
        return sum(
            float(max(Fraction(0), abs(totals[key] - size * band.size_mg) - band.fine_mg) / band.half_mg)
            for key, band in bands.items()
        )

    edges = {
        (totals[key] + side * band.fine_mg) / band.size_mg
        for key, band in bands.items()
        for side in (-1, 0, 1)
    }
    return min(at(edge) for edge in edges)
