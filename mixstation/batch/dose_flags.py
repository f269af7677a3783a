"""Flags on what the batch will end at: the water ratio, the doses, the powders, the bucket and the stock.

Rules: a mass is held to its band only to half a division of what it was weighed on, and the water ratio is called over
only where its uncertainty leaves no doubt; the ceiling and a cap are kept to the letter.
"""

from collections.abc import Iterator
from fractions import Fraction

from mixstation.batch.events import WeightRecorded
from mixstation.batch.flag import Flag
from mixstation.batch.reconcile import lifted_mg
from mixstation.batch.run import Run, TakeOutStep
from mixstation.batch.targets import Projection, dose_band, dose_now, still_to_come
from mixstation.proportion.lifting import LIFT_LIMIT_MG
from mixstation.recipe.model import AddStep, Material, ReleaseStep, SplitStep
from mixstation.recipe.proportions import Masses, basis_mass, volume_l


def water_flags(run: Run, projection: Projection) -> Iterator[Flag]:
    """The water ratio against its ceiling, its band and its target."""
    rule, ratio = run.recipe.water, projection.ratio
    if ratio is None:
        return
    unsure = Fraction(projection.expanded)
    values = (("ratio", ratio), ("least", rule.least), ("most", rule.most), ("expanded", projection.expanded))
    water = run.recipe.water_key
    if ratio > rule.ceiling:
        yield Flag(
            code="water-over-ceiling",
            about=water,
            gravity="stop",
            values=(*values, ("ceiling", rule.ceiling)),
        )
    elif ratio - unsure > rule.most:
        yield Flag(code="water-over", about=water, gravity="stop", values=values)
    elif ratio + unsure > rule.most:
        yield Flag(code="water-unsure", about=water, gravity="warn", values=values)
    elif ratio > run.aim.water_ratio * (1 + run.recipe.material(water).tolerance.over):
        yield Flag(
            code="water-high", about=water, gravity="note", values=(*values, ("target", run.aim.water_ratio))
        )
    if not run.pending(water) and projection.ratio_now is not None and ratio < rule.least:
        # Found right, it may be under by what the scales cannot tell; by more, a stiff mix compacts and bonds worse.
        right = run.judged is not None and run.judged.verdict == "right"
        told = right and ratio + unsure >= rule.least
        yield Flag(code="water-under", about=water, gravity="note" if told else "warn", values=values)


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
            yield Flag(code="ran-out", about=material.key, gravity="stop", values=(("short_mg", short),))


def _one_dose(run: Run, projection: Projection, material: Material) -> Iterator[Flag]:
    recipe, key = run.recipe, material.key
    ends_at = dose_now(recipe, material, projection.finals)
    if not run.content[key]:
        if projection.totals[key] and not run.pending(key) and key not in run.ran_out:
            yield Flag(code="dose-missing", about=key, gravity="warn")
        return
    if material.dose is None or ends_at is None:
        return
    least, most = dose_band(material)
    values = (("fraction", ends_at), ("least", least), ("most", most), ("of", str(material.dose.of)))
    if material.cap is not None:
        basis = basis_mass(recipe, projection.finals, material.cap.of)
        capped = projection.finals[key] * material.counted_share / basis if basis else Fraction(0)
        if capped > material.cap.fraction:
            cap_values = (
                ("fraction", capped),
                ("cap", material.cap.fraction),
                ("source", material.cap.source),
            )
            yield Flag(code="dose-over-cap", about=key, gravity="stop", values=cap_values)
            return
    mass = projection.finals[key]
    slack = ends_at * _half_division(run, key) / mass if mass else Fraction(0)
    if ends_at > most + slack:
        yield Flag(code="dose-over", about=key, gravity="stop", values=values)
    elif not run.pending(key) and ends_at < least - slack and key not in run.ran_out:
        yield Flag(code="dose-under", about=key, gravity="warn", values=values)


def _half_division(run: Run, key: str) -> Fraction:
    """Half the coarsest display division a material was weighed on, milligrams: it cannot be held to less."""
    divisions = [
        entry.fact.division_mg
        for entry in run.live
        if isinstance(entry.fact, WeightRecorded) and entry.fact.material == key
    ]
    return Fraction(max(divisions, default=0), 2)


def _one_powder(run: Run, projection: Projection, material: Material) -> Iterator[Flag]:
    final, total = projection.finals[material.key], projection.totals[material.key]
    if not total or not run.content[material.key]:
        if total and not run.pending(material.key) and material.key not in run.ran_out:
            yield Flag(code="dose-missing", about=material.key, gravity="warn")
        return
    values = (("final_mg", final), ("total_mg", total))
    slack = _half_division(run, material.key)
    if final > total * (1 + material.tolerance.over) + slack:
        yield Flag(code="powder-over", about=material.key, gravity="warn", values=values)
    elif (
        not run.pending(material.key)
        and final < total * (1 - material.tolerance.under) - slack
        and material.key not in run.ran_out
    ):
        yield Flag(code="powder-under", about=material.key, gravity="warn", values=values)


def room_flags(run: Run, projection: Projection) -> Iterator[Flag]:
    """The bucket at its fullest and heaviest, and the stock against what is still to come."""
    start = run.start
    contents = list(_contents_to_come(run, projection))
    limit_l = start.bucket_l * start.fill_limit
    fullest_l = max(volume_l(run.recipe, content) for content in contents)
    if fullest_l > limit_l:
        values = (("volume_l", fullest_l), ("limit_l", limit_l))
        spills = fullest_l > start.bucket_l
        yield Flag(code="bucket-full", about="", gravity="stop" if spills else "warn", values=values)
    yield from _load_flags(run, max(sum(content.values(), Fraction(0)) for content in contents))
    coming: dict[str, Fraction] = {}
    for step, mass in still_to_come(run, projection):
        if isinstance(step, AddStep | ReleaseStep):
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
            yield Flag(
                code="stock-short", about=amount.material, gravity="warn", values=(("short_mg", short),)
            )


def _load_flags(run: Run, mix_mg: Fraction) -> Iterator[Flag]:
    """The bucket at its heaviest against what one person should lift; its own mass counts once it was weighed."""
    mass_mg = lifted_mg(run, mix_mg)
    if mass_mg > LIFT_LIMIT_MG:
        lifted = (("mass_mg", mass_mg), ("limit_mg", LIFT_LIMIT_MG))
        yield Flag(code="bucket-heavy", about="", gravity="note", values=lifted)


def _contents_to_come(run: Run, projection: Projection) -> Iterator[Masses]:
    """What is in the bucket now and after each step still to come, portions taken out left off."""
    content: Masses = dict(run.content)
    yield content
    for step, mass in still_to_come(run, projection):
        if isinstance(step, AddStep | ReleaseStep):
            content = {**content, step.material: content[step.material] + mass}
        elif isinstance(step, SplitStep | TakeOutStep):
            whole = sum(content.values(), Fraction(0))
            taken = (
                step.fraction
                if isinstance(step, SplitStep)
                else min(Fraction(1), mass / whole)
                if whole
                else 0
            )
            content = {key: held * (1 - taken) for key, held in content.items()}
        yield content
