"""Decisions on what went in or came out."""

from fractions import Fraction

from mixstation.batch.advice import Advice, take_out_mg
from mixstation.batch.commands import Book, BookExtra, BookRemoved, TakeReference, Weight
from mixstation.batch.events import (
    Fact,
    MaterialRemoved,
    PortionTaken,
    ReferenceTaken,
    StepDone,
    TubFilled,
    WeightRecorded,
)
from mixstation.batch.reconcile import allowed_mg, expected_gross_mg
from mixstation.batch.refusal import RefusedError, at_hand, said, through
from mixstation.batch.run import Run, TakeOutStep
from mixstation.batch.targets import dose_now, water_ratio
from mixstation.recipe.model import AddStep, ReleaseStep, SplitStep

# Choice: a typed dose this far from its target is asked about before it is booked (a slipped digit or decimal mark).
FAR_OFF = Fraction(1, 2)


def _checked(weight: Weight) -> Weight:
    if weight.mass_mg <= 0:
        raise RefusedError("not-a-mass", mass_mg=weight.mass_mg)
    return weight


def reference(run: Run, command: TakeReference) -> ReferenceTaken:
    step = at_hand(run, AddStep | ReleaseStep | SplitStep | TakeOutStep)
    expected = expected_gross_mg(run) if run.weighing == "bucket" else None
    if expected is not None and not command.confirmed:
        by_mg = command.gross_mg - expected
        if abs(by_mg) > allowed_mg(run.in_bucket_mg, command.division_mg):
            raise RefusedError("bucket-differs", asks=True, by_mg=by_mg, expected_mg=expected)
    return ReferenceTaken(
        step=step.key, weighing=run.weighing, gross_mg=command.gross_mg, division_mg=command.division_mg
    )


def tub(run: Run, weight: Weight) -> TubFilled:
    step = at_hand(run, AddStep | ReleaseStep)
    _checked(weight)
    return TubFilled(
        step=step.key,
        mass_mg=weight.mass_mg,
        source=weight.source,
        shown=weight.shown,
        division_mg=weight.division_mg,
    )


def _recorded(step: str | None, material: str, weight: Weight, reason: str = "") -> WeightRecorded:
    return WeightRecorded(
        step=step,
        material=material,
        mass_mg=weight.mass_mg,
        source=weight.source,
        shown=weight.shown,
        division_mg=weight.division_mg,
        gross_mg=weight.gross_mg,
        residue_mg=weight.residue_mg,
        weighing=weight.weighing,
        reason=reason,
    )


def book(advice: Advice, command: Book) -> tuple[Fact, ...]:
    standing = advice.standing
    run, step, weight = standing.run, standing.step, _checked(command.weight)
    out_mg = take_out_mg(standing)
    if out_mg is not None and isinstance(step, SplitStep | TakeOutStep):
        _ask_if_far(weight, out_mg, command.confirmed)
        return _taken_out(run, step, weight)
    if standing.dosing is None or not isinstance(step, AddStep | ReleaseStep):
        raise RefusedError("nothing-to-weigh")
    _ask_if_far(weight, standing.dosing.target_mg, command.confirmed)
    _ask_if_over_limit(run, step.material, weight, command.confirmed)
    recorded = _recorded(step.key, step.material, weight)
    if isinstance(step, AddStep) and weight.mass_mg >= standing.dosing.low_mg:
        return through(run, recorded, StepDone(step=step.key))
    return (recorded,)


def _ask_if_far(weight: Weight, target_mg: int, confirmed: bool) -> None:
    """A typed weight far over its target is asked about; one under it may be a part of the dose."""
    if weight.source == "scale" or confirmed or not target_mg:
        return
    if weight.mass_mg > target_mg * (1 + FAR_OFF):
        raise RefusedError("far-over", asks=True, mass_mg=weight.mass_mg, target_mg=target_mg)
    if weight.mass_mg < target_mg * (1 - FAR_OFF):
        raise RefusedError("far-under", asks=True, mass_mg=weight.mass_mg, target_mg=target_mg)


def _ask_if_over_limit(run: Run, key: str, weight: Weight, confirmed: bool) -> None:
    """Past the water ceiling or a cap by what is already in and this: say so once before it is booked."""
    if confirmed:
        return
    recipe = run.recipe
    material = recipe.material(key)
    content = {**run.content, key: run.content[key] + weight.mass_mg}
    projected = {
        other.key: max(content[other.key], _aimed(run, other.key))
        for other in recipe.materials
        if other.is_powder
    }
    full = {**content, **projected}
    ratio = water_ratio(recipe, full)
    if material.water_share > 0 and ratio is not None and ratio > recipe.water.ceiling:
        raise RefusedError("over-ceiling", asks=True, ratio=ratio, ceiling=recipe.water.ceiling)
    dose = dose_now(recipe, material, full)
    cap = material.cap
    capped = cap is not None and material.dose is not None and cap.of is material.dose.of
    if cap is not None and capped and dose is not None and dose > cap.fraction:
        raise RefusedError("over-cap", asks=True, fraction=dose, cap=cap.fraction, source=cap.source)


def _aimed(run: Run, key: str) -> Fraction:
    if not run.pending(key):
        return Fraction(0)
    return sum(
        (amount.mass_mg * run.kept for amount in run.aim.powders if amount.material == key), Fraction(0)
    )


def _taken_out(run: Run, step: SplitStep | TakeOutStep, weight: Weight) -> tuple[Fact, ...]:
    done = StepDone(step=step.key)
    if isinstance(step, TakeOutStep) and step.material:
        fact = _poured_back(run, step.key, step.material, weight, "poured back")
        return through(run, fact, done)
    layer = step.layer if isinstance(step, SplitStep) else ""
    return through(run, portion(run, step.key, layer, weight, ""), done)


def portion(run: Run, step: str | None, layer: str, weight: Weight, reason: str) -> PortionTaken:
    _checked(weight)
    if weight.mass_mg >= run.in_bucket_mg:
        raise RefusedError("more-than-in", mass_mg=weight.mass_mg, in_mg=int(run.in_bucket_mg))
    return PortionTaken(
        step=step,
        layer=layer,
        mass_mg=weight.mass_mg,
        source=weight.source,
        shown=weight.shown,
        division_mg=weight.division_mg,
        reason=reason,
    )


def _poured_back(run: Run, step: str | None, material: str, weight: Weight, reason: str) -> MaterialRemoved:
    _checked(weight)
    if weight.mass_mg > run.content[material]:
        raise RefusedError("more-than-in", mass_mg=weight.mass_mg, in_mg=int(run.content[material]))
    return MaterialRemoved(
        step=step,
        material=material,
        mass_mg=weight.mass_mg,
        source=weight.source,
        shown=weight.shown,
        division_mg=weight.division_mg,
        reason=said(reason),
    )


def extra(run: Run, command: BookExtra) -> tuple[Fact, ...]:
    if command.material not in run.content:
        raise RefusedError("unknown-material", material=command.material)
    weight = _checked(command.weight)
    _ask_if_over_limit(run, command.material, weight, command.confirmed)
    return (_recorded(None, command.material, weight, said(command.reason)),)


def removed(run: Run, command: BookRemoved) -> tuple[Fact, ...]:
    if command.material not in run.content:
        raise RefusedError("unknown-material", material=command.material)
    return (_poured_back(run, None, command.material, command.weight, command.reason),)
