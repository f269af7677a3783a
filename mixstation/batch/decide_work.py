"""Decisions on the steps themselves: done, left out, brought forward, judged, finished."""

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
    Verdict,
)
from mixstation.batch.refusal import RefusedError, any_step, at_hand, through
from mixstation.batch.run import Run, TakeOutStep
from mixstation.batch.targets import project
from mixstation.recipe.model import AddStep, ConsistencyStep, MixStep, ReleaseStep, SplitStep, TemperatureStep

# Choice: no bucket mix is outside these, °C.
MIX_MIN_MILLI_C, MIX_MAX_MILLI_C = -5_000, 70_000

# Stored as the reason of a step left out because its material had run out.
RAN_OUT = "ran out"


def enough(run: Run) -> tuple[Fact, ...]:
    step = at_hand(run, AddStep)
    if isinstance(step, AddStep) and not run.content[step.material]:
        raise RefusedError("nothing-in", material=step.material)
    return through(run, StepDone(step=step.key))


def done(advice: Advice, command: DoneStep) -> tuple[Fact, ...]:
    run = advice.standing.run
    step = any_step(run)
    if isinstance(step, AddStep | ReleaseStep | SplitStep | TakeOutStep | ConsistencyStep | TemperatureStep):
        raise RefusedError("needs-answer")
    if isinstance(step, MixStep) and advice.timing is None:
        raise RefusedError("not-started")
    timing = advice.timing
    if timing is not None and timing.elapsed_s < timing.min_s and not command.confirmed:
        raise RefusedError("too-soon", asks=True, took_s=int(timing.elapsed_s), min_s=timing.min_s)
    return through(run, StepDone(step=step.key))


def forward(run: Run, key: str) -> tuple[Fact, ...]:
    if all(step.key != key for step in run.steps) or key in run.finished:
        raise RefusedError("no-such-step", step=key)
    if run.step is not None and run.step.key == key:
        raise RefusedError("already-there")
    return (StepBroughtForward(step=key),)


def judged(run: Run, command: Judge) -> tuple[Fact, ...]:
    step = run.step
    verdict = command.verdict
    if isinstance(step, ConsistencyStep) and command.figure is not None:
        verdict = verdict or measured_verdict(step, command.figure)
    if verdict is None:
        raise RefusedError("needs-answer")
    key = step.key if isinstance(step, ConsistencyStep | ReleaseStep) else None
    fact = ConsistencyJudged(step=key, verdict=verdict, figure=command.figure)
    if isinstance(step, ConsistencyStep):
        return through(run, fact, StepDone(step=step.key))
    if isinstance(step, ReleaseStep) and (verdict != "too-stiff" or _all_released(run, step)):
        return through(run, fact, StepDone(step=step.key))
    return (fact,)


def _all_released(run: Run, step: ReleaseStep) -> bool:
    total = project(run).totals[step.material]
    return run.content[step.material] >= total * (1 - run.recipe.material(step.material).tolerance.under)


def measured_verdict(step: ConsistencyStep, figure: int) -> Verdict:
    """A measured consistency against the step's own bounds."""
    if step.least is not None and figure < step.least:
        return "too-stiff"
    if step.most is not None and figure > step.most:
        return "too-loose"
    return "right"


def temperature(run: Run, command: NoteTemperature) -> tuple[Fact, ...]:
    if not MIX_MIN_MILLI_C <= command.mix_milli_c <= MIX_MAX_MILLI_C:
        raise RefusedError("no-mix-temperature", milli_c=command.mix_milli_c)
    step = run.step
    at = step.key if isinstance(step, TemperatureStep) else None
    fact = TemperatureTaken(step=at, mix_milli_c=command.mix_milli_c, shown=command.shown)
    return through(run, fact, StepDone(step=at)) if at is not None else (fact,)


def ran_out(run: Run, material: str) -> tuple[Fact, ...]:
    if material not in run.content:
        raise RefusedError("unknown-material", material=material)
    skips = tuple(
        StepSkipped(step=step.key, reason=RAN_OUT)
        for step in run.steps
        if isinstance(step, AddStep | ReleaseStep)
        and step.material == material
        and step.key not in run.finished
    )
    return through(run, SupplyRanOut(material=material), *skips)


def finished(advice: Advice, command: Finish) -> BatchFinished:
    run = advice.standing.run
    if run.step is not None:
        raise RefusedError("steps-left")
    standing = tuple(flag.code for flag in advice.flags if flag.gravity != "note")
    if standing and not command.concession.strip():
        raise RefusedError("flags-stand", asks=True, count=len(standing))
    return BatchFinished(accepted=standing, concession=command.concession.strip())
