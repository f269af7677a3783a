"""Decisions on the steps themselves: done, left out, brought forward, judged, finished."""

from fractions import Fraction
from typing import assert_never

from mixstation.batch.advice import Advice
from mixstation.batch.commands import DoneStep, Finish, Judge, NoteTemperature
from mixstation.batch.events import (
    BatchFinished,
    ConsistencyJudged,
    Fact,
    StepBroughtForward,
    StepDone,
    StepSkipped,
    SupplyRanOut,
    TemperatureTaken,
    TimerStarted,
    Verdict,
)
from mixstation.batch.refusal import (
    FlagsStand,
    NoMixTemperature,
    NothingIn,
    Plain,
    RefusedError,
    TooSoon,
    UnknownMaterial,
    any_step,
    at_hand,
    said,
    through,
)
from mixstation.batch.run import Run, TakeOutStep
from mixstation.batch.step import bounds_s, goes_on_alone
from mixstation.recipe.model import (
    AddStep,
    ConsistencyStep,
    MixStep,
    NoteStep,
    ReleaseStep,
    RestStep,
    ScrapeStep,
    SplitStep,
    TemperatureStep,
)
from mixstation.units.plausible import RANGES

# Choice: no bucket mix is outside these, °C.
_MIX_C = RANGES["measured temperature"]

# Stored as the reason of a step left out because its material had run out.
RAN_OUT = "ran out"


def enough(advice: Advice) -> tuple[Fact, ...]:
    """The step at hand is done with what is in; not with nothing in where something is asked for."""
    run, dosing = advice.standing.run, advice.standing.dosing
    step = at_hand(run, AddStep | ReleaseStep)
    if dosing is not None and dosing.exact_mg and not run.content[dosing.material]:
        raise RefusedError(NothingIn(material=dosing.material))
    return through(run, StepDone(step=step.key))


def started(advice: Advice) -> TimerStarted:
    """The timer of the step at hand, unless it runs already; in a release mixing may come before more water."""
    run = advice.standing.run
    step = any_step(run)
    mixing = advice.standing.phase in ("mixing", "release-mixing")
    if mixing or bounds_s(step) is None or (goes_on_alone(step) and step.key in run.timers):
        raise RefusedError(Plain.OTHER_STEP)
    return TimerStarted(step=step.key)


def done(advice: Advice, command: DoneStep) -> tuple[Fact, ...]:
    """The step at hand is done; asked about once when it was too short."""
    run = advice.standing.run
    step, timing = any_step(run), advice.timing
    match step:
        case AddStep() | ReleaseStep() | SplitStep() | TakeOutStep() | ConsistencyStep() | TemperatureStep():
            raise RefusedError(Plain.NEEDS_ANSWER)
        case MixStep():
            if timing is None:
                raise RefusedError(Plain.NOT_STARTED)
        case RestStep() | ScrapeStep() | NoteStep():
            pass
        case _ as forgotten:
            assert_never(forgotten)
    if timing is not None and timing.elapsed_s < timing.min_s and not command.confirmed:
        raise RefusedError(TooSoon(took_s=int(timing.elapsed_s), min_s=timing.min_s))
    return through(run, StepDone(step=step.key))


def forward(run: Run, key: str) -> tuple[Fact, ...]:
    """Another step is at hand now; a rest begins at once."""
    if all(step.key != key for step in run.steps) or key in run.finished:
        raise RefusedError(Plain.NO_SUCH_STEP)
    if run.step is not None and run.step.key == key:
        raise RefusedError(Plain.ALREADY_THERE)
    if run.takes_out_first and isinstance(run.step_of(key), AddStep | ReleaseStep | SplitStep):
        raise RefusedError(Plain.TAKE_OUT_FIRST)
    if isinstance(run.step_of(key), RestStep) and key not in run.timers:
        return (StepBroughtForward(step=key), TimerStarted(step=key))
    return (StepBroughtForward(step=key),)


def skipped(advice: Advice, reason: str) -> tuple[Fact, ...]:
    """The step at hand is left out; not a later share before an earlier one is settled: they make one total.

    Of a mix that sets any step may be left out: nothing more goes in.
    """
    run, step = advice.standing.run, any_step(advice.standing.run)
    if (
        not advice.sets
        and isinstance(step, AddStep)
        and any(
            isinstance(other, AddStep)
            and other.material == step.material
            and other.cumulative < step.cumulative
            and other.key not in run.finished
            for other in run.steps
        )
    ):
        raise RefusedError(Plain.EARLIER_SHARE_FIRST)
    return through(run, StepSkipped(step=step.key, reason=said(reason)))


def judged(advice: Advice, command: Judge) -> tuple[Fact, ...]:
    """How the mix moves; a release ends when it is not too stiff or all the water is in."""
    run, dosing = advice.standing.run, advice.standing.dosing
    step = run.step
    verdict = command.verdict
    if isinstance(step, ConsistencyStep) and command.figure is not None:
        verdict = verdict or measured_verdict(step, command.figure)
    if verdict is None:
        raise RefusedError(Plain.NEEDS_ANSWER)
    key = step.key if isinstance(step, ConsistencyStep | ReleaseStep) else None
    fact = ConsistencyJudged(step=key, verdict=verdict, figure=command.figure)
    if isinstance(step, ConsistencyStep):
        return through(run, fact, StepDone(step=step.key))
    all_in = dosing is not None and not dosing.exact_mg
    if isinstance(step, ReleaseStep) and (verdict != "too-stiff" or all_in):
        return through(run, fact, StepDone(step=step.key))
    return (fact,)


def measured_verdict(step: ConsistencyStep, figure: int) -> Verdict:
    """A measured consistency against the step's own bounds."""
    if step.least is not None and figure < step.least:
        return "too-stiff"
    if step.most is not None and figure > step.most:
        return "too-loose"
    return "right"


def temperature(run: Run, command: NoteTemperature) -> tuple[Fact, ...]:
    """The temperature of the mix, at its step or at any other moment."""
    if not _MIX_C.holds(Fraction(command.mix_milli_c, 1000)):
        raise RefusedError(NoMixTemperature(mix_milli_c=command.mix_milli_c))
    step = run.step
    at = step.key if isinstance(step, TemperatureStep) else None
    fact = TemperatureTaken(step=at, mix_milli_c=command.mix_milli_c, shown=command.shown)
    return through(run, fact, StepDone(step=at)) if at is not None else (fact,)


def ran_out(run: Run, material: str) -> tuple[Fact, ...]:
    """No more of a material: the steps that would add it are left out."""
    if material in run.ran_out:
        raise RefusedError(Plain.ALREADY_THERE)
    if material not in run.content:
        raise RefusedError(UnknownMaterial(found=material))
    skips = tuple(
        StepSkipped(step=step.key, reason=RAN_OUT)
        for step in run.steps
        if isinstance(step, AddStep | ReleaseStep)
        and step.material == material
        and step.key not in run.finished
    )
    return through(run, SupplyRanOut(material=material), *skips)


def finished(advice: Advice, command: Finish) -> BatchFinished:
    """The batch is closed; flags that stand need a concession."""
    run = advice.standing.run
    if run.step is not None:
        raise RefusedError(Plain.STEPS_LEFT)
    standing = tuple(flag.code for flag in advice.flags if flag.gravity != "note")
    if standing and not command.concession.strip():
        raise RefusedError(FlagsStand(open_count=len(standing)))
    return BatchFinished(accepted=standing, concession=command.concession.strip())
