"""A stored entry in one line, for taking back and for the record."""

from fractions import Fraction
from typing import assert_never

from mixstation.batch.decide_back import TAKES_BACK
from mixstation.batch.events import (
    BatchDiscarded,
    BatchFinished,
    BatchPaused,
    BatchStarted,
    BatchTakenUp,
    ClockStepped,
    ConsistencyJudged,
    DensityMeasured,
    Entry,
    EntryTakenBack,
    FlagRaised,
    MaterialRemoved,
    NoteWritten,
    PortionTaken,
    ProgramResumed,
    ReferenceTaken,
    RemedyTaken,
    SafetyAcknowledged,
    ScaleChanged,
    StepBroughtForward,
    StepDone,
    StepSkipped,
    SupplyRanOut,
    TemperatureTaken,
    TimerStarted,
    TubFilled,
    WayTaken,
    WeighingChanged,
    WeightRecorded,
)
from mixstation.batch.run import Run
from mixstation.units.show import show_temperature_c, show_volume_ml
from mixstation.wording.words import (
    VERDICT_WORDS,
    WEIGHING_WORDS,
    Speech,
    as_booked,
    name_of,
    step_words,
    weighed_on,
)

_WITH_A_FIGURE = (WeightRecorded, PortionTaken, MaterialRemoved, ConsistencyJudged, TemperatureTaken)


def takes_back(run: Run) -> tuple[Entry, ...]:
    """The newest nine entries that can be taken back, newest first; a step's end only where it stands alone."""
    booked = {
        entry.fact.step
        for entry in run.live
        if isinstance(
            entry.fact, WeightRecorded | PortionTaken | MaterialRemoved | ConsistencyJudged | TemperatureTaken
        )
    }
    return tuple(
        entry
        for entry in reversed(run.live)
        if isinstance(entry.fact, TAKES_BACK)
        and not (isinstance(entry.fact, StepDone) and entry.fact.step in booked)
    )[:9]


def entry_line(run: Run, entry: Entry, speech: Speech) -> str:
    """What an entry that can be taken back says.

    Raises:
        ValueError: An entry that cannot be taken back.
    """
    fact = entry.fact
    match fact:
        case WeightRecorded():
            amount, apart = as_booked(run, fact, speech).mass(fact.mass_mg), weighed_on(run, fact)
            known = fact.source if apart is None else f"{fact.source}, “{apart.scale}”"
            return f"{amount} {name_of(run.recipe, fact.material)} in ({known})"
        case TubFilled():
            return f"tub filled, {speech.mass(fact.mass_mg)}"
        case MaterialRemoved():
            return f"{speech.mass(fact.mass_mg)} {name_of(run.recipe, fact.material)} out ({fact.source})"
        case PortionTaken():
            what = f"for the {fact.layer}" if fact.layer else "out"
            return f"{speech.mass(fact.mass_mg)} of the mix {what} ({fact.source})"
        case StepDone():
            return f"done: {step_words(run, run.step_of(fact.step))}"
        case StepSkipped():
            return f"left out: {step_words(run, run.step_of(fact.step))} ({fact.reason})"
        case StepBroughtForward():
            return f"brought forward: {step_words(run, run.step_of(fact.step))}"
        case ConsistencyJudged():
            figure = f", {fact.figure}" if fact.figure is not None else ""
            return f"consistency {VERDICT_WORDS[fact.verdict]}{figure}"
        case TemperatureTaken():
            return f"mix at {show_temperature_c(fact.mix_milli_c / 1000, speech.units)}"
        case DensityMeasured():
            cup = show_volume_ml(Fraction(fact.cup_ul, 1000), speech.units)
            return f"{speech.mass(fact.mass_mg)} of mix fills the cup of {cup}"
        case SupplyRanOut():
            return f"{name_of(run.recipe, fact.material)} ran out"
        case WayTaken():
            return f"way out: {fact.said}"
        case RemedyTaken():
            return f"remedy: {fact.said}"
        case WeighingChanged():
            return f"from here on {WEIGHING_WORDS[fact.weighing]}"
        case BatchStarted() | BatchPaused() | BatchTakenUp() | BatchFinished() | BatchDiscarded():
            raise ValueError(fact.kind)
        case SafetyAcknowledged() | ReferenceTaken() | TimerStarted() | EntryTakenBack() | NoteWritten():
            raise ValueError(fact.kind)
        case FlagRaised() | ScaleChanged() | ClockStepped() | ProgramResumed():
            raise ValueError(fact.kind)
        case _ as forgotten:
            assert_never(forgotten)
