"""Which scale on file can weigh a dose, and what to do where none can."""

import math
from collections.abc import Iterable, Iterator
from datetime import date
from fractions import Fraction
from typing import Literal

from mixstation.frozen import Frozen
from mixstation.plan.cautions import ScaleCheckOld, ScaleUnchecked
from mixstation.proportion.weighing import (
    COVERAGE_RATIO,
    separate_additions_uncertainty_g,
    smallest_dose_g,
)
from mixstation.recipe.model import AddStep, Recipe, Role, Tolerance

Vessel = Literal["bucket", "tub"]
WeighingKind = Literal["weigh", "dilution", "difference", "no-scale"]

TYPED_DIVISION_MG = 1000
"""Step taken where no scale is on file. Source: Choice: kitchen scales show grams."""

CHECK_GOOD_DAYS = 365
"""A check older than this is worth a caution. Source: Choice: yearly, as for scales in trade in many places."""

MIN_DILUTION_RATIO = 2
MAX_DILUTION_RATIO = 50


class Scale(Frozen):
    """A scale on file.

    Attributes:
        capacity_mg: Largest load, vessel included.
        checked: Day of the last check against a known mass, or None.
        unit: What it shows, "g", "kg", "lb" or "oz"; "" where that is not said.
    """

    name: str
    capacity_mg: int
    division_mg: int
    checked: date | None = None
    unit: str = ""


class DoseToWeigh(Frozen):
    """One material of one bucket, as it is to be weighed.

    Attributes:
        mass_mg: All of it, above 0.
        tolerance_fraction: How far its total may be off either way.
        may_be_diluted: Whether it can go in as a dilution in mix water.
    """

    material: str
    mass_mg: Fraction
    shares: tuple[Fraction, ...]
    tolerance_fraction: Fraction
    may_be_diluted: bool


class Dilution(Frozen):
    """A dilution to weigh a small dose from.

    Attributes:
        material_mg: Material to weigh into a clean tub.
        water_mg: Water to add to it, out of the water of the batch.
        portion_mg: Dilution to weigh into each bucket.
        portion_water_mg: Water in that portion, to be taken off the bucket's water.
    """

    material_mg: int
    water_mg: int
    portion_mg: int
    portion_water_mg: int
    over_mg: int


class DoseWeighing(Frozen):
    """How a dose is weighed.

    Attributes:
        scale: Name of the scale; "" for "no-scale".
        fills_count: Tubs to fill for each addition; 1 where it fits at once.
        least_mg: Smallest dose of this tolerance for that scale.
        error_fraction: Expanded uncertainty over the dose as weighed.
    """

    material: str
    kind: WeighingKind
    scale: str
    vessel: Vessel
    division_mg: int
    fills_count: int = 1
    least_mg: int = 0
    dilution: Dilution | None = None
    error_fraction: float = 0.0


def shares_of(recipe: Recipe, key: str) -> tuple[Fraction, ...]:
    """The shares in which a material goes in, each weighed by itself, a release's last; together 1."""
    added = tuple(step.share for step in recipe.steps if isinstance(step, AddStep) and step.material == key)
    rest = 1 - sum(added, Fraction(0))
    return (*added, rest) if rest else added


def tolerance_fraction(tolerance: Tolerance) -> Fraction:
    """The narrower side of a tolerance, by which a scale is judged; above 0.

    Source: Choice: where one side is nought, half of the width: such a tolerance is aimed at its middle. Where both
        are, a thousandth.
    """
    low = min(tolerance.under, tolerance.over)
    return low or (tolerance.under + tolerance.over) / 2 or Fraction(1, 1000)


def smallest_dose_mg(division_mg: int, *, tolerance: Fraction, weighings_count: int = 1) -> int:
    """Smallest dose, mg rounded up, that a scale weighs within its tolerance; the one rule of plan and bucket.

    Args:
        division_mg: Smallest step of the scale, above 0.
        tolerance: Its narrower side, above 0.
        weighings_count: Separately tared weighings that make up the dose, at least 1.

    Source: `mixstation.proportion.weighing.smallest_dose_g`.

    Example:
        >>> smallest_dose_mg(1000, tolerance=Fraction(3, 100))
        27217
    """
    return math.ceil(
        1000
        * smallest_dose_g(
            division_g=division_mg / 1000,
            tolerance_fraction=float(tolerance),
            additions_count=weighings_count,
        )
    )


def dilutable(recipe: Recipe, key: str) -> bool:
    """Whether a material may go in as a dilution in mix water: liquids, admixtures, pigment before the fibres.

    Source: Common practice, no source: a pigment folded in last for clouds must stay thick.
    """
    role = recipe.material(key).role
    if role is not Role.PIGMENT:
        return role in (Role.PLASTICISER, Role.RETARDER, Role.POLYMER)
    for step in recipe.steps:
        if isinstance(step, AddStep):
            if recipe.material(step.material).role is Role.FIBRE:
                return False
            if step.material == key:
                return True
    return False


def choose_weighing(
    dose: DoseToWeigh,
    scales: Iterable[Scale],
    *,
    bucket_tare_mg: int,
    bucket_full_mg: int,
    tub_tare_mg: int,
    bucket_count: int,
    bucket_water_mg: int,
) -> DoseWeighing:
    """How to weigh a dose with the scales there are.

    The bucket on the scale comes first, then a tub in the fewest fills, then the finest division. Where no scale
    can, a dilution; where that does not go either, the packet before and after on the finest scale.

    Args:
        bucket_count: Buckets that get the same dose.
        bucket_water_mg: Water of one bucket that a dilution may draw on.
    """
    on_file = sorted(scales, key=lambda scale: scale.division_mg)
    if not on_file:
        return DoseWeighing(
            material=dose.material, kind="no-scale", scale="", vessel="tub", division_mg=TYPED_DIVISION_MG
        )
    ways = []
    for scale in on_file:
        in_bucket = bucket_tare_mg + bucket_full_mg <= scale.capacity_mg
        room_mg = scale.capacity_mg - tub_tare_mg
        if not in_bucket and room_mg <= 0:
            continue
        fills = 1 if in_bucket else math.ceil(dose.mass_mg * max(dose.shares) / room_mg)
        weighings = len(dose.shares) * fills
        least_mg = smallest_dose_mg(
            scale.division_mg, tolerance=dose.tolerance_fraction, weighings_count=weighings
        )
        if dose.mass_mg >= least_mg:
            way = _weighing(dose, scale, "weigh", fills, least_mg, "bucket" if in_bucket else "tub")
            ways.append((not in_bucket, fills, scale.division_mg, way))
    if ways:
        return min(ways, key=lambda ranked: ranked[:3])[-1]
    diluted = _dilution_way(dose, on_file, tub_tare_mg, bucket_count, bucket_water_mg)
    if diluted is not None:
        return diluted
    finest = on_file[0]
    least_mg = smallest_dose_mg(
        finest.division_mg, tolerance=dose.tolerance_fraction, weighings_count=len(dose.shares)
    )
    return _weighing(dose, finest, "difference", 1, least_mg, "tub")


def _weighing(
    dose: DoseToWeigh,
    scale: Scale,
    kind: WeighingKind,
    fills: int,
    least_mg: int,
    vessel: Vessel,
    dilution: Dilution | None = None,
) -> DoseWeighing:
    weighings = len(dose.shares) * fills
    uncertainty = separate_additions_uncertainty_g(scale.division_mg, additions_count=weighings)
    weighed_mg = float(dose.mass_mg) if dilution is None else dilution.portion_mg
    return DoseWeighing(
        material=dose.material,
        kind=kind,
        scale=scale.name,
        vessel=vessel,
        division_mg=scale.division_mg,
        fills_count=fills,
        least_mg=least_mg,
        dilution=dilution,
        error_fraction=COVERAGE_RATIO * uncertainty / weighed_mg,
    )


def _dilution_way(
    dose: DoseToWeigh, scales: list[Scale], tub_tare_mg: int, bucket_count: int, bucket_water_mg: int
) -> DoseWeighing | None:
    """The weakest dilution that can be weighed: the material once, then a portion for each bucket."""
    if not dose.may_be_diluted:
        return None
    for scale in scales:
        # Two weighings share the tolerance, so each has to be good to 1/√2 of it.
        tolerance = dose.tolerance_fraction / Fraction(math.sqrt(2)).limit_denominator(1000)
        once_mg = smallest_dose_mg(scale.division_mg, tolerance=tolerance)
        portion_least_mg = smallest_dose_mg(
            scale.division_mg, tolerance=tolerance, weighings_count=len(dose.shares)
        )
        ratio = max(MIN_DILUTION_RATIO, math.ceil(portion_least_mg / dose.mass_mg))
        needed_mg = max(Fraction(once_mg), dose.mass_mg * bucket_count)
        material_mg = math.ceil(needed_mg / scale.division_mg) * scale.division_mg
        portion_mg = round(dose.mass_mg * ratio / scale.division_mg) * scale.division_mg
        portion_water_mg = round(portion_mg * (1 - Fraction(1, ratio)))
        if (
            ratio <= MAX_DILUTION_RATIO
            and material_mg * ratio + tub_tare_mg <= scale.capacity_mg
            and portion_water_mg <= bucket_water_mg
        ):
            dilution = Dilution(
                material_mg=material_mg,
                water_mg=material_mg * (ratio - 1),
                portion_mg=portion_mg,
                portion_water_mg=portion_water_mg,
                over_mg=material_mg - round(dose.mass_mg * bucket_count),
            )
            return _weighing(dose, scale, "dilution", 1, portion_least_mg, "tub", dilution)
    return None


def scale_cautions(scales: Iterable[Scale], today: date | None) -> Iterator[ScaleUnchecked | ScaleCheckOld]:
    """Scales that want a check on that day; None leaves ages alone.

    Source: Choice: see `CHECK_GOOD_DAYS`.
    """
    for scale in scales:
        if scale.checked is None:
            yield ScaleUnchecked(scale_name=scale.name)
        elif today is not None and (age_days := (today - scale.checked).days) > CHECK_GOOD_DAYS:
            yield ScaleCheckOld(scale_name=scale.name, age_days=age_days)
