"""Commands are decided here: facts to store, or a refusal with its reason. Nothing half-happens.

Rules: what happened at the bucket is never refused for being wrong, only asked about once (`confirmed`); what
cannot be (no mass, more out than is in, a step that is not at hand) is refused.
"""

from typing import assert_never

from mixstation.batch.advice import Advice
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
    NoteTemperature,
    Pause,
    RunOut,
    SkipStep,
    StartTimer,
    TakeBack,
    TakeReference,
    TakeUp,
    TakeWay,
    WriteNote,
)
from mixstation.batch.decide_back import taken_back
from mixstation.batch.decide_weighing import book, extra, portion, reference, removed, tub
from mixstation.batch.decide_work import done, enough, finished, forward, judged, ran_out, temperature
from mixstation.batch.events import (
    BatchDiscarded,
    BatchPaused,
    BatchTakenUp,
    Fact,
    NoteWritten,
    SafetyAcknowledged,
    StepSkipped,
    TimerStarted,
    WayTaken,
    WeighingChanged,
)
from mixstation.batch.refusal import Refusal, RefusedError, any_step, at_hand, said, through
from mixstation.recipe.model import MixStep, ReleaseStep, RestStep


def decide(advice: Advice, command: Command) -> tuple[Fact, ...] | Refusal:
    """Facts for a command, or why not.

    Args:
        advice: Of the run and the moment the command was given in.
        command: What the mixer asks for.

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
        raise RefusedError("batch-over")
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
            return extra(run, command)
        case BookRemoved():
            return removed(run, command)
        case BookPortion():
            return (portion(run, None, "", command.weight, command.reason),)
        case EnoughIn():
            return enough(run)
        case StartTimer():
            return (TimerStarted(step=at_hand(run, MixStep | ReleaseStep | RestStep).key),)
        case DoneStep():
            return done(advice, command)
        case SkipStep():
            return through(run, StepSkipped(step=any_step(run).key, reason=said(command.reason)))
        case BringForward():
            return forward(run, command.step)
        case TakeBack():
            return (taken_back(run, command),)
        case Judge():
            return judged(run, command)
        case NoteTemperature():
            return temperature(run, command)
        case Pause():
            return (BatchPaused(reason=command.reason),)
        case TakeUp():
            return (BatchTakenUp(),)
        case ChangeWeighing():
            return (WeighingChanged(weighing=command.weighing),)
        case RunOut():
            return ran_out(run, command.material)
        case TakeWay():
            return _way(command)
        case WriteNote():
            return (NoteWritten(text=said(command.text)),)
        case Finish():
            return (finished(advice, command),)
        case Discard():
            return (BatchDiscarded(reason=said(command.reason)),)
        case _ as forgotten:
            assert_never(forgotten)


def _way(command: TakeWay) -> tuple[Fact, ...]:
    way = command.way
    if way.hindrances:
        raise RefusedError("way-hindered")
    if way.kind == "discard":
        return (BatchDiscarded(reason=command.said),)
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
