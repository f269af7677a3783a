"""Decisions on what went in or came out."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from math import floor

from mixstation.batch import events, refusal
from mixstation.batch.advice import Advice, take_out_mg
from mixstation.batch.bounds import MOST_MG
from mixstation.batch.commands import Book, BookExtra, BookRemoved, NoteKey, TakeReference, Weight
from mixstation.batch.dosing import Dosing
from mixstation.batch.reconcile import allowed_mg, expected_gross_mg
from mixstation.batch.run import Run, RunStep, TakeOutStep, apply
from mixstation.batch.step import material_of
from mixstation.batch.targets import Projection, water_ratio
from mixstation.batch.vessels import doubt
from mixstation.recipe.model import AddStep, ReleaseStep, SplitStep
from mixstation.recipe.proportions import basis_mass

# Choice: a typed dose this far from its target is asked about before it is booked (a slipped digit or decimal mark).
FAR_OFF = Fraction(1, 2)
# Stored as the reason why a start reading does not count.
NOT_ON_YET = "not on the scale yet"
# And why a tub's filling does not.
TUB_EMPTIED = "the tub was emptied"
# Choice: an empty tub may read this many divisions off its start reading before that is asked about.
TUB_SLACK_DIVISIONS = 3


def _checked(weight: Weight) -> Weight:
    if not 0 < weight.mass_mg <= MOST_MG:
        raise refusal.RefusedError(refusal.Plain.NOT_A_MASS)
    return weight


def reference(advice: Advice, command: TakeReference) -> tuple[events.Fact, ...]:
    """What stands on the scale before the pour; asked about once where it is not what should stand there."""
    run = advice.standing.run
    step = refusal.at_hand(run, AddStep | ReleaseStep | SplitStep | TakeOutStep)
    _refuse_too_coarse(run, step, command)
    waiting = _waiting(run, step)
    if waiting is not None and command.full_tub == "emptied":
        run, before = _without(run, (waiting.seq,), TUB_EMPTIED)
    elif waiting is not None and not command.full_tub:
        tub = waiting.fact
        assert isinstance(tub, events.TubFilled)
        raise refusal.RefusedError(
            refusal.TubWaits(mass_mg=tub.mass_mg, material=material_of(run.step_of(tub.step)))
        )
    elif command.instead:
        run, before = _without_start_readings(run, step)
    else:
        before = ()
    expected = expected_gross_mg(run) if run.stands == "bucket" else None
    if expected is not None and not command.confirmed:
        by_mg = command.gross_mg - expected
        if abs(by_mg) > allowed_mg(run.in_bucket_mg, command.division_mg):
            raise refusal.RefusedError(refusal.BucketDiffers(by_mg=by_mg, expected_mg=expected))
    if expected is None:
        needed_mg = 0 if advice.standing.dosing is None else advice.standing.dosing.target_mg
        _ask(command.confirmed, doubt(run, command, needed_mg))
    taken = events.ReferenceTaken(
        step=step.key, weighing=run.stands, gross_mg=command.gross_mg, division_mg=command.division_mg
    )
    return (*before, taken)


def key_pressed(run: Run, command: NoteKey) -> events.KeyPressed:
    """A key of the scale was pressed, in the pour at hand where one has begun."""
    step = run.step
    return events.KeyPressed(
        step=step.key if step is not None and step.key in run.references else None,
        key=command.key,
        by_mg=command.by_mg,
        counted_mg=command.counted_mg,
        unsure_mg=command.unsure_mg,
    )


def _without_start_readings(run: Run, step: RunStep) -> tuple[Run, tuple[events.EntryTakenBack, ...]]:
    """The batch without start readings taken before the vessel was on the scale, and the fact that says so.

    Of the bucket those are all, of a tub or a supply that of the step at hand.
    """
    seqs = tuple(
        entry.seq
        for entry in run.live
        if isinstance(entry.fact, events.ReferenceTaken)
        and entry.fact.weighing == run.stands
        and (run.stands == "bucket" or entry.fact.step == step.key)
    )
    return _without(run, seqs, NOT_ON_YET) if seqs else (run, ())


def _waiting(run: Run, step: RunStep) -> events.Entry | None:
    """The newest tub that was filled for another step and is not tipped in, where tubs are weighed."""
    others = [
        entry
        for entry in run.live
        if isinstance(entry.fact, events.TubFilled)
        and entry.fact.step != step.key
        and run.tubs.get(entry.fact.step) == entry.fact
    ]
    return others[-1] if others and run.stands == "tub" else None


def _without(run: Run, seqs: tuple[int, ...], why: str) -> tuple[Run, tuple[events.EntryTakenBack, ...]]:
    """The batch without some entries, and the fact that takes them back."""
    taken = events.EntryTakenBack(seqs=seqs, reason=why)
    entry = events.Entry(seq=len(run.entries) + 1, stamp=run.entries[-1].stamp, fact=taken)
    return apply(run, entry), (taken,)


def _refuse_too_coarse(run: Run, step: RunStep, command: TakeReference) -> None:
    """No pour is begun by a scale too coarse for it where there is a finer one, unless the mixer says so."""
    if isinstance(step, AddStep | ReleaseStep) and not command.coarse:
        apart = run.apart(step.material, command.division_mg)
        if apart is not None:
            raise refusal.RefusedError(refusal.OnFinerScale(material=apart.material, scale=apart.scale))


def tub(run: Run, weight: Weight) -> events.TubFilled:
    """A tub filled for the step at hand, where a tub stands on the scale."""
    step = refusal.at_hand(run, AddStep | ReleaseStep)
    if run.stands != "tub":
        raise refusal.RefusedError(refusal.Plain.OTHER_STEP)
    _checked(weight)
    _ask_of_set_down(run, weight)
    return events.TubFilled(
        step=step.key,
        mass_mg=weight.mass_mg,
        source=weight.source,
        shown=weight.shown,
        division_mg=weight.division_mg,
    )


def _recorded(step: str | None, material: str, weight: Weight, reason: str = "") -> events.WeightRecorded:
    return events.WeightRecorded(
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


def book(advice: Advice, command: Book) -> tuple[events.Fact, ...]:
    """A dose in, or a portion out, as the step at hand asks; the step is done when no more is needed."""
    standing = advice.standing
    run, step, weight = standing.run, standing.step, _checked(command.weight)
    _ask_of_set_down(run, weight)
    out_mg = take_out_mg(standing)
    if out_mg is not None and isinstance(step, SplitStep | TakeOutStep):
        taken = _taken_out(run, step, weight)
        _ask(
            command.confirmed,
            _far_off(weight, material_of(step), out_mg, out_mg, out_mg),
        )
        return taken
    if standing.dosing is None or not isinstance(step, AddStep | ReleaseStep):
        raise refusal.RefusedError(refusal.Plain.NOTHING_TO_WEIGH)
    _ask(
        command.confirmed,
        _lighter(run, weight),
        _far_from(weight, standing.dosing),
        *_over_limits(run, step.material, weight),
        _more_than_filled(run, weight),
    )
    recorded = _recorded(step.key, step.material, weight)
    if isinstance(step, AddStep) and weight.mass_mg >= standing.dosing.low_mg:
        return refusal.through(run, recorded, events.StepDone(step=step.key))
    return (recorded,)


def _ask(confirmed: bool, *questions: refusal.Asked | None) -> None:
    """Ask once about all that is odd."""
    asked = [question for question in questions if question is not None]
    if asked and not confirmed:
        raise refusal.RefusedError(replace(asked[0], also=tuple(asked[1:])))


def _ask_of_set_down(run: Run, weight: Weight) -> None:
    """A weight that came onto the scale at once may be the vessel: that is asked before all else."""
    if weight.at_once:
        stands = weight.weighing or run.stands
        raise refusal.RefusedError(refusal.SetDown(mass_mg=weight.mass_mg, weighing=stands))


def _far_from(weight: Weight, asked: Dosing) -> refusal.Asked | None:
    """A typed weight far from the dose that is asked for; any where enough is in."""
    if not asked.exact_mg:
        return _far_off(weight, asked.material, 0, 0, 0)
    return _far_off(
        weight, asked.material, asked.target_mg or round(asked.exact_mg), asked.low_mg, asked.high_mg
    )


def _far_off(
    weight: Weight, material: str, target_mg: int, low_mg: int, high_mg: int
) -> refusal.Asked | None:
    """A typed weight far from what is asked for, and not inside what is right, is asked about."""
    if weight.source == "scale" or low_mg <= weight.mass_mg <= high_mg:
        return None
    if weight.mass_mg > target_mg * (1 + FAR_OFF):
        return refusal.FarOver(mass_mg=weight.mass_mg, target_mg=target_mg, material=material)
    if weight.mass_mg < target_mg * (1 - FAR_OFF):
        return refusal.FarUnder(mass_mg=weight.mass_mg, target_mg=target_mg, material=material)
    return None


def most_beside_mg(run: Run, projection: Projection, key: str) -> int:
    """How much more of a material may be in, beside what its steps ask for, before it is asked about."""
    return floor(projection.totals[key] * (1 + FAR_OFF) - run.content[key])


def _far_over_plan(advice: Advice, key: str, weight: Weight) -> refusal.Asked | None:
    """A typed weight with which far more would be in than is planned in all."""
    run, projection = advice.standing.run, advice.standing.projection
    if weight.source == "scale" or weight.mass_mg <= most_beside_mg(run, projection, key):
        return None
    then_mg, planned_mg = round(run.content[key]) + weight.mass_mg, round(projection.totals[key])
    return refusal.FarOverPlan(then_mg=then_mg, planned_mg=planned_mg)


def _lighter(run: Run, weight: Weight) -> refusal.Asked | None:
    """A tub that came back lighter than it went on has lost more than was filled in, or is another one."""
    if run.tub is None or weight.residue_mg is None:
        return None
    by_mg = -weight.residue_mg
    slack_mg = TUB_SLACK_DIVISIONS * run.tub.division_mg
    return refusal.TubLighter(mass_mg=weight.mass_mg, by_mg=by_mg) if by_mg > slack_mg else None


def _more_than_filled(run: Run, weight: Weight) -> refusal.Asked | None:
    """More typed than a tub was filled with is asked about: it may be the tub's own weight."""
    if (
        run.tub is None
        or weight.source == "scale"
        or weight.residue_mg is not None
        or weight.mass_mg <= run.tub.mass_mg + TUB_SLACK_DIVISIONS * run.tub.division_mg
    ):
        return None
    return refusal.MoreThanFilled(mass_mg=weight.mass_mg, filled_mg=run.tub.mass_mg)


def _over_limits(run: Run, key: str, weight: Weight) -> Iterator[refusal.Asked]:
    """Past the water ceiling, and past a cap, by what is already in and this."""
    recipe, material = run.recipe, run.recipe.material(key)
    before = _with_powders(run, run.content)
    full = _with_powders(run, {**run.content, key: run.content[key] + weight.mass_mg})
    ratio, ratio_before = water_ratio(recipe, full), water_ratio(recipe, before)
    most = recipe.water.ceiling if ratio_before is None else max(recipe.water.ceiling, ratio_before)
    if ratio is not None and ratio > most:
        yield refusal.OverCeiling(ratio=ratio, ceiling_ratio=recipe.water.ceiling)
    cap = material.cap
    basis = basis_mass(recipe, full, cap.of) if cap is not None else None
    if cap is not None and basis and full[key] * material.counted_share / basis > cap.fraction:
        dose = full[key] * material.counted_share / basis
        yield refusal.OverCap(fraction=dose, cap_fraction=cap.fraction, source=cap.source)


def _with_powders(run: Run, content: Mapping[str, Fraction]) -> dict[str, Fraction]:
    """What is in with the powders still to come."""
    powders = [material.key for material in run.recipe.materials if material.is_powder]
    return {**content, **{key: max(content[key], _aimed(run, key)) for key in powders}}


def _aimed(run: Run, key: str) -> Fraction:
    if not run.pending(key):
        return Fraction(0)
    return sum(
        (amount.mass_mg * run.kept for amount in run.aim.powders if amount.material == key), Fraction(0)
    )


def _taken_out(run: Run, step: SplitStep | TakeOutStep, weight: Weight) -> tuple[events.Fact, ...]:
    done = events.StepDone(step=step.key)
    if isinstance(step, TakeOutStep) and step.material:
        fact = _poured_back(run, step.key, step.material, weight, "poured back")
        return refusal.through(run, fact, done)
    if isinstance(step, SplitStep):
        # The layer is placed before anything else begins.
        return replace(portion(run, step.key, step.layer, weight, ""), place_next=True), done
    return refusal.through(run, portion(run, step.key, "", weight, ""), done)


def portion(run: Run, step: str | None, layer: str, weight: Weight, reason: str) -> events.PortionTaken:
    """A portion of the mixed bucket out; never all of it."""
    _checked(weight)
    if weight.mass_mg >= run.in_bucket_mg:
        raise refusal.RefusedError(refusal.MoreThanIn(mass_mg=weight.mass_mg, in_mg=int(run.in_bucket_mg)))
    return events.PortionTaken(
        step=step,
        layer=layer,
        mass_mg=weight.mass_mg,
        source=weight.source,
        shown=weight.shown,
        division_mg=weight.division_mg,
        reason=reason,
    )


def _poured_back(
    run: Run, step: str | None, material: str, weight: Weight, reason: str
) -> events.MaterialRemoved:
    _checked(weight)
    if weight.mass_mg > run.content[material]:
        raise refusal.RefusedError(
            refusal.MoreThanIn(mass_mg=weight.mass_mg, in_mg=int(run.content[material]))
        )
    return events.MaterialRemoved(
        step=step,
        material=material,
        mass_mg=weight.mass_mg,
        source=weight.source,
        shown=weight.shown,
        division_mg=weight.division_mg,
        reason=refusal.said(reason),
    )


def extra(advice: Advice, command: BookExtra) -> tuple[events.Fact, ...]:
    """Something in outside the step at hand."""
    run = advice.standing.run
    if command.material not in run.content:
        raise refusal.RefusedError(refusal.UnknownMaterial(found=command.material))
    weight = _checked(command.weight)
    recorded = _recorded(None, command.material, weight, refusal.said(command.reason))
    _ask(
        command.confirmed,
        _far_over_plan(advice, command.material, weight),
        *_over_limits(run, command.material, weight),
    )
    return (recorded,)


def removed(run: Run, command: BookRemoved) -> tuple[events.Fact, ...]:
    """Some of one material out again, unmixed."""
    if command.material not in run.content:
        raise refusal.RefusedError(refusal.UnknownMaterial(found=command.material))
    return (_poured_back(run, None, command.material, command.weight, command.reason),)
