"""Flags on what the batch will end at: the water ratio, the doses, the powders, the bucket and the stock.

Rules: a mass is held to its band only to half a division of what it was weighed on, and the water ratio is called over
only where its uncertainty leaves no doubt; the ceiling and a cap are kept to the letter.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import assert_never

from mixstation.batch.events import WeightRecorded
from mixstation.batch.flag import Flag, doses
from mixstation.batch.flag.weighing import BucketFull, BucketHeavy
from mixstation.batch.reconcile import lifted_mg
from mixstation.batch.run import Run, TakeOutStep
from mixstation.batch.targets import Projection, dose_band, dose_now, split_share, still_to_come
from mixstation.proportion.lifting import LIFT_LIMIT_MG
from mixstation.recipe import model
from mixstation.recipe.proportions import Masses, basis_mass, volume_l


def water_flags(run: Run, projection: Projection) -> Iterator[Flag]:
    """The water ratio against its ceiling, its band and its target."""
    rule, ratio = run.recipe.water, projection.ratio
    if ratio is None:
        return
    unsure, expanded = Fraction(projection.expanded), projection.expanded
    water = run.recipe.water_key
    target = run.aim.water_ratio
    if ratio > rule.ceiling:
        yield doses.WaterOverCeiling(
            material=water, ratio=ratio, most_ratio=rule.most, ceiling_ratio=rule.ceiling
        )
    elif ratio - unsure > rule.most:
        yield doses.WaterOver(
            material=water,
            ratio=ratio,
            least_ratio=rule.least,
            most_ratio=rule.most,
            expanded_ratio=expanded,
        )
    elif ratio + unsure > rule.most:
        yield doses.WaterUnsure(material=water, ratio=ratio, most_ratio=rule.most, expanded_ratio=expanded)
    elif ratio > target * (1 + run.recipe.material(water).tolerance.over):
        yield doses.WaterHigh(material=water, ratio=ratio, target_ratio=target, most_ratio=rule.most)
    if not run.pending(water) and projection.ratio_now is not None and ratio < rule.least:
        yield doses.WaterUnder(
            material=water,
            ratio=ratio,
            least_ratio=rule.least,
            expanded_ratio=expanded,
            found_right=run.judged is not None and run.judged.verdict == "right",
            fibres_in=run.fibres_in,
            found_loose=run.judged is not None and run.judged.verdict == "too-loose",
        )


def dose_flags(run: Run, projection: Projection) -> Iterator[Flag]:
    """Every dose and powder against its band, and what ran out."""
    recipe = run.recipe
    for material in recipe.materials:
        if material.dose is not None:
            yield from _one_dose(run, projection, material)
        elif material.is_powder:
            yield from _one_powder(run, projection, material)
        if material.key in run.ran_out and run.content[material.key] < projection.totals[material.key] * (
            1 - material.tolerance.under
        ):
            short = projection.totals[material.key] - run.content[material.key]
            yield doses.RanOut(material=material.key, short_mg=short)


def _one_dose(run: Run, projection: Projection, material: model.Material) -> Iterator[Flag]:
    recipe, key = run.recipe, material.key
    ends_at = dose_now(recipe, material, projection.finals)
    if not run.content[key]:
        if projection.totals[key] and not run.pending(key) and key not in run.ran_out:
            yield doses.DoseMissing(material=key)
        return
    if material.dose is None or ends_at is None:
        return
    least, most = dose_band(material)
    if material.cap is not None:
        basis = basis_mass(recipe, projection.finals, material.cap.of)
        capped = projection.finals[key] * material.counted_share / basis if basis else Fraction(0)
        if capped > material.cap.fraction:
            yield doses.DoseOverCap(
                material=key, fraction=capped, cap_fraction=material.cap.fraction, source=material.cap.source
            )
            return
    mass = projection.finals[key]
    slack = ends_at * _half_division(run, key) / mass if mass else Fraction(0)
    over = ends_at > most + slack
    under = not run.pending(key) and ends_at < least - slack and key not in run.ran_out
    if over or under:
        kind = doses.DoseOver if over else doses.DoseUnder
        yield kind(
            material=key,
            fraction=ends_at,
            least_fraction=least,
            most_fraction=most,
            basis=material.dose.of,
        )


def _half_division(run: Run, key: str) -> Fraction:
    """Half the coarsest display division a material was weighed on, milligrams: it cannot be held to less."""
    divisions = [
        entry.fact.division_mg
        for entry in run.live
        if isinstance(entry.fact, WeightRecorded) and entry.fact.material == key
    ]
    return Fraction(max(divisions, default=0), 2)


def _one_powder(run: Run, projection: Projection, material: model.Material) -> Iterator[Flag]:
    final, total = projection.finals[material.key], projection.totals[material.key]
    if not total or not run.content[material.key]:
        if total and not run.pending(material.key) and material.key not in run.ran_out:
            yield doses.DoseMissing(material=material.key)
        return
    slack = _half_division(run, material.key)
    if final > total * (1 + material.tolerance.over) + slack:
        yield doses.PowderOver(material=material.key, final_mg=final, total_mg=total)
    elif (
        not run.pending(material.key)
        and final < total * (1 - material.tolerance.under) - slack
        and material.key not in run.ran_out
    ):
        yield doses.PowderUnder(material=material.key, final_mg=final, total_mg=total)


def room_flags(run: Run, projection: Projection) -> Iterator[Flag]:
    """The bucket at its fullest and heaviest, and the stock against what is still to come."""
    start = run.start
    contents = list(_contents_to_come(run, projection))
    limit_l = start.bucket_l * start.fill_limit
    fullest_l = max(volume_l(run.recipe, content) for content in contents)
    if fullest_l > limit_l:
        yield BucketFull(volume_l=fullest_l, limit_l=limit_l, spills=fullest_l > start.bucket_l)
    # The bucket's own mass counts once it was weighed.
    heaviest_mg = lifted_mg(run, max(sum(content.values(), Fraction(0)) for content in contents))
    if heaviest_mg > LIFT_LIMIT_MG:
        yield BucketHeavy(mass_mg=heaviest_mg, limit_mg=LIFT_LIMIT_MG)
    coming: dict[str, Fraction] = {}
    for step, mass in still_to_come(run, projection):
        if isinstance(step, model.AddStep | model.ReleaseStep):
            coming[step.material] = coming.get(step.material, Fraction(0)) + mass
    used = {
        key: sum(
            entry.fact.mass_mg
            for entry in run.live
            if isinstance(entry.fact, WeightRecorded) and entry.fact.material == key
        )
        for key in coming
    }
    for amount in start.stock:
        short = coming.get(amount.material, Fraction(0)) + used.get(amount.material, 0) - amount.mass_mg
        if coming.get(amount.material) and short > 0:
            yield doses.StockShort(material=amount.material, short_mg=short)


def _contents_to_come(run: Run, projection: Projection) -> Iterator[Masses]:
    """What is in the bucket now and after each step still to come, portions taken out left off."""
    content: Masses = dict(run.content)
    yield content
    for step, mass in still_to_come(run, projection):
        match step:
            case model.AddStep() | model.ReleaseStep():
                content = {**content, step.material: content[step.material] + mass}
            case model.SplitStep():
                share = split_share(run, step, sum(content.values(), Fraction(0)))
                content = {key: held * (1 - share) for key, held in content.items()}
            case TakeOutStep():
                if whole := sum(content.values(), Fraction(0)):
                    left = 1 - min(Fraction(1), mass / whole)
                    content = {key: held * left for key, held in content.items()}
            case model.MixStep() | model.ScrapeStep() | model.RestStep():
                pass
            case model.ConsistencyStep() | model.TemperatureStep() | model.NoteStep():
                pass
            case _ as forgotten:
                assert_never(forgotten)
        yield content
