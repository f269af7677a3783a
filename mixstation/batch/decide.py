"""Commands are decided here: facts to store, or a refusal with its reason. Nothing half-happens.

Rules: what happened at the bucket is never refused for being wrong, only asked about once (`confirmed`); what
cannot be (no mass, more out than is in, a step that is not at hand) is refused.
"""

from fractions import Fraction
from typing import assert_never

from mixstation.batch.advice import Advice
from mixstation.batch.bounds import MOST_MG, aim_fits
from mixstation.batch.commands import (
    AcknowledgeSafety,
    Book,
    BookExtra,
    BookPortion,
    BookRemoved,
    BringForward,
    ChangeWeighing,
    Command,
    Discard,
    DoneStep,
    EnoughIn,
    FillTub,
    Finish,
    Judge,
    MeasureDensity,
    NoteTemperature,
    Pause,
    RunOut,
    SkipStep,
    StartTimer,
    SwapMaterial,
    TakeBack,
    TakeReference,
    TakeRemedy,
    TakeUp,
    TakeWay,
    WriteNote,
)
from mixstation.batch.consistency import DONE_IN_STEPS, Remedy
from mixstation.batch.decide_back import swapped, taken_back
from mixstation.batch.decide_weighing import book, extra, portion, reference, removed, tub
from mixstation.batch.decide_work import (
    done,
    enough,
    finished,
    forward,
    judged,
    ran_out,
    skipped,
    started,
    temperature,
)
from mixstation.batch.events import (
    BatchDiscarded,
    BatchPaused,
    BatchTakenUp,
    Fact,
    NoteWritten,
    RemedyTaken,
    SafetyAcknowledged,
    TimerStarted,
    WayTaken,
    WeighingChanged,
)
from mixstation.batch.refusal import Plain, Refusal, RefusedError, said
from mixstation.batch.run import Run, put_in_step
from mixstation.batch.targets import dose_now, water_ratio
from mixstation.batch.way import Way
from mixstation.batch.wet_density import measured

# Before the safety text is behind the mixer no bag is opened.
_BEFORE_SAFETY = (AcknowledgeSafety, WriteNote, Discard)
# Nothing is weighed into a mix that sets; what went in all the same is entered outside the step.
_WEIGHS_IN = (Book, FillTub, TakeReference)


def decide(advice: Advice, command: Command) -> tuple[Fact, ...] | Refusal:
    """Facts for a command, or why not.

    Returns:
        Facts to store in order (at least one), or a refusal.
    """
    try:
        return _facts(advice, command)
    except RefusedError as refused:
        return refused.refusal


def _facts(advice: Advice, command: Command) -> tuple[Fact, ...]:
    run = advice.standing.run
    if run.ended and not isinstance(command, WriteNote):
        raise RefusedError(Plain.BATCH_OVER)
    if not run.acknowledged and not isinstance(command, _BEFORE_SAFETY):
        raise RefusedError(Plain.OTHER_STEP)
    if advice.standing.phase == "setting" and isinstance(command, _WEIGHS_IN):
        raise RefusedError(Plain.SETS)
    match command:
        case AcknowledgeSafety():
            return (SafetyAcknowledged(),)
        case TakeReference():
            return (reference(run, command),)
        case FillTub():
            return (tub(run, command.weight),)
        case Book():
            return book(advice, command)
        case BookExtra():
            return extra(advice, command)
        case BookRemoved():
            return removed(run, command)
        case BookPortion():
            return (portion(run, None, "", command.weight, command.reason),)
        case EnoughIn():
            return enough(advice)
        case StartTimer():
            return (started(advice),)
        case DoneStep():
            return done(advice, command)
        case SkipStep():
            return skipped(advice, command.reason)
        case BringForward():
            return forward(run, command.step)
        case TakeBack():
            return (taken_back(run, command),)
        case SwapMaterial():
            return swapped(run, command)
        case Judge():
            return judged(advice, command)
        case NoteTemperature():
            return temperature(run, command)
        case MeasureDensity():
            return (measured(command),)
        case Pause():
            return (BatchPaused(reason=command.reason),)
        case TakeUp():
            return (BatchTakenUp(),)
        case ChangeWeighing():
            return (WeighingChanged(weighing=command.weighing),)
        case RunOut():
            return ran_out(run, command.material)
        case TakeWay():
            return _way(advice, command)
        case TakeRemedy():
            return _remedy(advice, command)
        case WriteNote():
            return (NoteWritten(text=said(command.text)),)
        case Finish():
            return (finished(advice, command),)
        case Discard():
            return (BatchDiscarded(reason=said(command.reason)),)
        case _ as forgotten:
            assert_never(forgotten)


def _way(advice: Advice, command: TakeWay) -> tuple[Fact, ...]:
    run, way = advice.standing.run, command.way
    if way.hindrances:
        raise RefusedError(Plain.WAY_HINDERED)
    if way.kind == "discard":
        return (BatchDiscarded(reason=said(command.said)),)
    if advice.sets and way.kind != "leave":
        raise RefusedError(Plain.SETS)
    if not _fits(run, way):
        raise RefusedError(Plain.WAY_HINDERED)
    taken = WayTaken(
        way=way.kind,
        aim=way.aim,
        pour_back_mg=way.pour_back_mg,
        scoop_mg=way.scoop_mg,
        make_up=tuple(amount.material for amount in way.additions),
        mix_s=way.mix_s,
        gives_up=way.gives_up,
        said=command.said,
    )
    return (taken,)


def _remedy(advice: Advice, command: TakeRemedy) -> tuple[Fact, ...]:
    """A remedy's own steps; a rest that comes first begins at once."""
    run, remedy = advice.standing.run, command.remedy
    _refuse_at_a_bad_time(advice)
    if not _is_done_in_steps(run, remedy):
        raise RefusedError(Plain.WAY_HINDERED)
    material = aimed = None
    if remedy.mass_mg:
        material = remedy.material
        ends = {**advice.standing.projection.finals, material: run.content[material] + remedy.mass_mg}
        of_water = material == run.recipe.water_key
        aimed = (
            water_ratio(run.recipe, ends)
            if of_water
            else dose_now(run.recipe, run.recipe.material(material), ends)
        )
        if aimed is None:
            raise RefusedError(Plain.WAY_HINDERED)
    taken = RemedyTaken(
        material=material, aimed=aimed, rest_s=remedy.rest_s, mix_s=remedy.mix_s, said=said(command.said)
    )
    if remedy.rest_s and material is None:
        return (taken, TimerStarted(step=put_in_step(len(run.entries) + 1, 1)))
    return (taken,)


def _refuse_at_a_bad_time(advice: Advice) -> None:
    """No remedy for a mix that sets, before a way's take-out, or while another, a mixing or a full tub waits."""
    run = advice.standing.run
    if advice.sets:
        raise RefusedError(Plain.SETS)
    if run.takes_out_first:
        raise RefusedError(Plain.TAKE_OUT_FIRST)
    if run.in_remedy or run.tub is not None or advice.standing.phase in ("mixing", "release-mixing"):
        raise RefusedError(Plain.NOT_THROUGH)


def _is_done_in_steps(run: Run, remedy: Remedy) -> bool:
    """Whether it is of a sort that is done in steps, and of a material and a size that can be."""
    key, addable = remedy.material, True
    if remedy.mass_mg:
        addable = key in run.content and key not in run.ran_out and not run.recipe.material(key).is_powder
    return (
        remedy.code in DONE_IN_STEPS
        and addable
        and 0 <= remedy.mass_mg <= MOST_MG
        and 0 <= remedy.rest_s <= MOST_MG
        and 0 < remedy.mix_s <= MOST_MG
    )


def _fits(run: Run, way: Way) -> bool:
    """Whether a way, worked out some time ago, can still be gone."""
    out_mg = run.content[run.recipe.water_key] if way.pour_back_mg else Fraction(0)
    return (
        aim_fits(run.recipe, way.aim)
        and 0 <= way.pour_back_mg <= out_mg
        and (not way.scoop_mg or 0 < way.scoop_mg < run.in_bucket_mg)
        and 0 <= way.mix_s <= MOST_MG
        and all(amount.material in run.content for amount in way.additions)
    )
