"""Where in the step at hand the work stands: one word that says what is asked now."""

from typing import Literal, assert_never

from mixstation.batch.damp_sand import sand_to_ask
from mixstation.batch.events import (
    ConsistencyJudged,
    ReleaseGoesOn,
    StepDone,
    TimerStarted,
    Verdict,
    WeightRecorded,
)
from mixstation.batch.lots import to_ask
from mixstation.batch.named import named
from mixstation.batch.run import Run, TakeOutStep
from mixstation.recipe import model

Phase = Literal[
    "safety",
    "paused",
    "sand",
    "lot",
    "pour",
    "tub-fill",
    "tub-tip",
    "take-out",
    "start-mixing",
    "mixing",
    "resting",
    "scrape",
    "judge",
    "release-judge",
    "release-rest",
    "release-start-mixing",
    "release-mixing",
    "setting",
    "temperature",
    "note",
    "finish",
    "ended",
]

POURING = frozenset({"pour", "tub-fill"})
# At these more of a material is asked for, or asked about.
ASKS_FOR_MORE = frozenset({"pour", "tub-fill", "tub-tip", "release-judge"})


def phase(run: Run) -> Phase:
    """What is asked now.

    Returns:
        One phase; "finish" when all steps are through, "ended" when the batch is closed. Never "setting": that takes
        the time into account, and `advise` says it in place of what asks for water.
    """
    if run.ended:
        return "ended"
    if not run.acknowledged:
        return "safety"
    if run.paused:
        return "paused"
    if sand_to_ask(run) is not None:
        return "sand"
    if to_ask(run) is not None:
        return "lot"
    step = run.step
    match step:
        case None:
            return "finish"
        case model.AddStep():
            return _weighing(run)
        case model.ReleaseStep():
            return _release(run, step)
        case model.MixStep():
            return "mixing" if step.key in run.timers else "start-mixing"
        case model.RestStep():
            return "resting"
        case model.ScrapeStep():
            return "scrape"
        case model.ConsistencyStep():
            return "judge"
        case model.TemperatureStep():
            return "temperature"
        case model.SplitStep() | TakeOutStep():
            return "take-out"
        case model.NoteStep():
            return "note"
        case _ as forgotten:
            assert_never(forgotten)


def _weighing(run: Run) -> Phase:
    if run.stands != "tub" or run.in_slurry(run.step):
        return "pour"
    return "tub-fill" if run.tub is None else "tub-tip"


def _release(run: Run, step: model.ReleaseStep) -> Phase:
    """Judge, let a little in, mix, judge again; a judgement holds until something goes in or the mix is worked.

    A mix found right, or too loose, just before is not judged again: the mixer leaves the water held back out, with
    that reason on record, or judges anew. The ratio then ends lower: where, and whether that is under its band, is
    said before; of a right mix that is far under it, some may be let in all the same.

    Source: Common practice, no source.
    """
    for entry in reversed(run.live):
        fact = entry.fact
        if named(fact).step != step.key:
            continue
        if isinstance(fact, WeightRecorded):
            return "release-start-mixing"
        if isinstance(fact, TimerStarted):
            return "release-mixing" if step.key in run.timers else "release-start-mixing"
        if isinstance(fact, ReleaseGoesOn) or (
            isinstance(fact, ConsistencyJudged) and fact.verdict == "too-stiff"
        ):
            return _weighing(run)
        if isinstance(fact, ConsistencyJudged):
            break
    match _just_judged(run):
        case "too-stiff":
            return _weighing(run)
        case "right" | "too-loose":
            return "release-rest"
        case "stiff-and-warm" | None:
            return "release-judge"


def _just_judged(run: Run) -> Verdict | None:
    """How the mix was found to move, unless something has gone in, or it was mixed or rested, since."""
    worked = {step.key for step in run.steps if isinstance(step, model.MixStep | model.RestStep)}
    changed = any(
        isinstance(entry.fact, WeightRecorded | TimerStarted)
        or (isinstance(entry.fact, StepDone) and entry.fact.step in worked)
        for entry in run.live
        if entry.seq > run.judged_at
    )
    return None if run.judged is None or changed else run.judged.verdict
