"""Decisions on the steps themselves: done, left out, brought forward, judged, finished."""

from fractions import Fraction
from typing import assert_never

from mixstation.batch import events, refusal
from mixstation.batch.advice import Advice
from mixstation.batch.commands import DoneStep, Finish, Judge, NoteTemperature
from mixstation.batch.consistency import short_of_water
from mixstation.batch.measured import measured_figure, measured_verdict, spread_mm
from mixstation.batch.moment import too_short
from mixstation.batch.run import Run, TakeOutStep
from mixstation.batch.step import bounds_s, goes_on_alone, material_of
from mixstation.recipe import model
from mixstation.units.plausible import RANGES

# Choice: no bucket mix is outside these, °C.
_MIX_C = RANGES["measured temperature"]

# Stored as the reason of a step left out because its material had run out.
RAN_OUT = "ran out"


def enough(advice: Advice) -> tuple[events.Fact, ...]:
    """The step at hand is done with what is in; not with nothing in where something is asked for."""
    run, dosing = advice.standing.run, advice.standing.dosing
    step = refusal.at_hand(run, model.AddStep | model.ReleaseStep)
    refusal.refuse_full_tub(run)
    if dosing is not None and dosing.exact_mg and not run.content[dosing.material]:
        raise refusal.RefusedError(refusal.NothingIn(material=dosing.material))
    return refusal.through(run, events.StepDone(step=step.key))


def started(advice: Advice) -> events.TimerStarted:
    """The timer of the step at hand, unless it runs already; in a release mixing may come before more water."""
    run = advice.standing.run
    step = refusal.any_step(run)
    mixing = advice.standing.phase in ("mixing", "release-mixing")
    if mixing or bounds_s(step) is None or (goes_on_alone(step) and step.key in run.timers):
        raise refusal.RefusedError(refusal.Plain.OTHER_STEP)
    return events.TimerStarted(step=step.key)


def done(advice: Advice, command: DoneStep) -> tuple[events.Fact, ...]:
    """The step at hand is done; asked about once when it was too short."""
    run = advice.standing.run
    step, timing = refusal.any_step(run), advice.timing
    match step:
        case model.AddStep() | model.ReleaseStep() | model.SplitStep():
            raise refusal.RefusedError(refusal.Plain.NEEDS_ANSWER)
        case TakeOutStep() | model.ConsistencyStep() | model.TemperatureStep():
            raise refusal.RefusedError(refusal.Plain.NEEDS_ANSWER)
        case model.MixStep():
            if timing is None:
                raise refusal.RefusedError(refusal.Plain.NOT_STARTED)
        case model.RestStep() | model.ScrapeStep() | model.NoteStep():
            pass
        case _ as forgotten:
            assert_never(forgotten)
    if timing is not None and too_short(timing.elapsed_s, timing.min_s) and not command.confirmed:
        raise refusal.RefusedError(refusal.TooSoon(took_s=int(timing.elapsed_s), min_s=timing.min_s))
    return refusal.through(run, events.StepDone(step=step.key))


def forward(run: Run, key: str) -> tuple[events.Fact, ...]:
    """Another step is at hand now; a rest begins at once."""
    if all(step.key != key for step in run.steps) or key in run.finished:
        raise refusal.RefusedError(refusal.Plain.NO_SUCH_STEP)
    if refusal.any_step(run).key == key:
        raise refusal.RefusedError(refusal.Plain.ALREADY_THERE)
    if run.takes_out_first and isinstance(
        run.step_of(key), model.AddStep | model.ReleaseStep | model.SplitStep
    ):
        raise refusal.RefusedError(refusal.Plain.TAKE_OUT_FIRST)
    if isinstance(run.step_of(key), model.RestStep) and key not in run.timers:
        return (events.StepBroughtForward(step=key), events.TimerStarted(step=key))
    return (events.StepBroughtForward(step=key),)


def skipped(advice: Advice, reason: str) -> tuple[events.Fact, ...]:
    """The step at hand is left out; not a later share before an earlier one is settled: they make one total.

    Of a mix that sets any step may be left out: nothing more goes in.
    """
    run, step = advice.standing.run, refusal.any_step(advice.standing.run)
    if (
        not advice.sets
        and isinstance(step, model.AddStep)
        and any(
            isinstance(other, model.AddStep)
            and other.material == step.material
            and other.cumulative < step.cumulative
            and other.key not in run.finished
            for other in run.steps
        )
    ):
        raise refusal.RefusedError(refusal.Plain.EARLIER_SHARE_FIRST)
    if not advice.sets:
        refusal.refuse_full_tub(run)
    return refusal.through(run, events.StepSkipped(step=step.key, reason=refusal.said(reason)))


def judged(advice: Advice, command: Judge) -> tuple[events.Fact, ...]:
    """How the mix moves; a release ends when all water is in, or it is not too stiff and has what its band wants."""
    run, dosing = advice.standing.run, advice.standing.dosing
    step = run.step
    verdict, figure = command.verdict, command.figure
    if command.across_um:
        figure = spread_mm(command.across_um)
    if isinstance(step, model.ConsistencyStep) and figure is not None:
        verdict = verdict or measured_verdict(step, measured_figure(step, figure))
    if verdict is None:
        raise refusal.RefusedError(refusal.Plain.NEEDS_ANSWER)
    key = step.key if isinstance(step, model.ConsistencyStep | model.ReleaseStep) else None
    fact = events.ConsistencyJudged(step=key, verdict=verdict, figure=figure, across_um=command.across_um)
    if isinstance(step, model.ConsistencyStep):
        return refusal.through(run, fact, events.StepDone(step=step.key))
    all_in = dosing is not None and not dosing.exact_mg
    ends = verdict != "too-stiff" and not short_of_water(run, advice.standing.projection, verdict)
    if isinstance(step, model.ReleaseStep) and (ends or all_in):
        return refusal.through(run, fact, events.StepDone(step=step.key))
    return (fact,)


def let_in(advice: Advice) -> events.ReleaseGoesOn:
    """Held-back water, into a mix found right with less in than its band begins at; never past its time."""
    standing = advice.standing
    step = refusal.at_hand(standing.run, model.ReleaseStep)
    if standing.phase != "release-rest" or standing.dosing is None or not standing.dosing.exact_mg:
        raise refusal.RefusedError(refusal.Plain.OTHER_STEP)
    if advice.working.place == "past":
        raise refusal.RefusedError(refusal.Plain.SETS)
    return events.ReleaseGoesOn(step=step.key)


def temperature(run: Run, command: NoteTemperature) -> tuple[events.Fact, ...]:
    """The temperature of the mix, at its step or at any other moment."""
    if not _MIX_C.holds(Fraction(command.mix_milli_c, 1000)):
        raise refusal.RefusedError(refusal.NoMixTemperature(mix_milli_c=command.mix_milli_c))
    step = run.step
    at = step.key if isinstance(step, model.TemperatureStep) else None
    fact = events.TemperatureTaken(step=at, mix_milli_c=command.mix_milli_c, shown=command.shown)
    return refusal.through(run, fact, events.StepDone(step=at)) if at is not None else (fact,)


def ran_out(run: Run, material: str) -> tuple[events.Fact, ...]:
    """No more of a material: the steps that would add it are left out."""
    if material in run.ran_out:
        raise refusal.RefusedError(refusal.Plain.ALREADY_THERE)
    if material not in run.content:
        raise refusal.RefusedError(refusal.UnknownMaterial(found=material))
    if any(material_of(run.step_of(step)) == material for step in run.tubs):
        raise refusal.RefusedError(refusal.Plain.TUB_HOLDS)
    skips = tuple(
        events.StepSkipped(step=step.key, reason=RAN_OUT)
        for step in run.steps
        if isinstance(step, model.AddStep | model.ReleaseStep)
        and step.material == material
        and step.key not in run.finished
    )
    return refusal.through(run, events.SupplyRanOut(material=material), *skips)


def finished(advice: Advice, command: Finish) -> events.BatchFinished:
    """The batch is closed; flags that stand need a concession. Nothing was placed before there was water."""
    run, placed_s, since_s = advice.standing.run, command.placed_before_s, advice.working.since_s
    if run.step is not None:
        raise refusal.RefusedError(refusal.Plain.STEPS_LEFT)
    if placed_s is not None and not 0 <= placed_s <= (since_s or 0):
        raise refusal.RefusedError(refusal.PlacedBeforeWater(placed_s=placed_s, water_s=int(since_s or 0)))
    standing = tuple(flag.code for flag in advice.flags if flag.gravity != "note")
    if standing and not command.concession.strip():
        raise refusal.RefusedError(refusal.FlagsStand(open_count=len(standing)))
    return events.BatchFinished(
        accepted=standing, concession=command.concession.strip(), placed_before_s=placed_s
    )
