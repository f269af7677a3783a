"""Every stored entry in one line, for taking back and for the record, and the words of the record around them."""

from fractions import Fraction
from typing import assert_never

from mixstation.batch import events as e
from mixstation.batch.decide_back import TAKES_BACK, rests_on
from mixstation.batch.run import Run
from mixstation.batch.step import goes_on_alone
from mixstation.recipe.model import ConsistencyStep
from mixstation.units.clean import clean
from mixstation.units.show import show_duration, show_temperature_c, show_volume_ml
from mixstation.wording.counted import counted
from mixstation.wording.flag_lines import GRAVITY_WORDS
from mixstation.wording.like_lines import before_water
from mixstation.wording.measured_lines import judged_figure
from mixstation.wording.safety import DONE_TEXT
from mixstation.wording.settings_lines import settings_words
from mixstation.wording.words import (
    VERDICT_WORDS,
    WEIGHING_WORDS,
    Speech,
    as_booked,
    name_of,
    step_words,
    weighed_on,
)

# A line is one digit of the number pad; start readings never crowd out what was weighed.
_LISTED_COUNT, _STARTS_COUNT = 9, 3


def takes_back(run: Run) -> tuple[e.Entry, ...]:
    """The newest nine entries that can be taken back, newest first; a step's end only where it stands alone.

    Start readings come last: the one in force, that of the newest weight, and the first of the bucket; the others are
    borne out by what was weighed since.
    """
    first = next(
        (
            entry.seq
            for entry in run.live
            if isinstance(entry.fact, e.ReferenceTaken) and entry.fact.weighing == "bucket"
        ),
        0,
    )
    booked = {
        entry.fact.step
        for entry in run.live
        if isinstance(
            entry.fact,
            e.WeightRecorded | e.PortionTaken | e.MaterialRemoved | e.ConsistencyJudged | e.TemperatureTaken,
        )
    }
    starts = tuple(
        entry
        for entry in reversed(run.live)
        if isinstance(entry.fact, e.ReferenceTaken)
        and (entry.seq in (first, rests_on(run)) or entry.fact in run.references.values())
    )
    deeds = tuple(
        entry
        for entry in reversed(run.live)
        if isinstance(entry.fact, TAKES_BACK)
        and not isinstance(entry.fact, e.ReferenceTaken)
        and not (isinstance(entry.fact, e.StepDone) and entry.fact.step in booked)
    )
    return (*deeds[: _LISTED_COUNT - len(starts[:_STARTS_COUNT])], *starts[:_STARTS_COUNT])


REFERENCE_WORDS = {"bucket": "the bucket", "tub": "the empty tub", "supply": "the supply"}

OUTCOME_WORDS = {
    "open": "not closed yet",
    "finished": "closed",
    "discarded": "discarded",
}

LISTED_AS = {"": "OPEN", "finished": "closed", "discarded": "discarded"}
NO_RATIO = "no water ratio"

FLAG_OUTCOMES = {
    "passed": "no longer stood at the end",
    "stands": "stood at the end",
    "accepted": "accepted",
    "given up": "left standing by a way out",
}

PLACE_WORDS = {
    "": "",
    "under": "under",
    "inside": "inside",
    "over": "over",
    "cannot-tell": "can't tell on this scale",
}


_WATER_SAID = {
    "": "nothing is in that it could be a ratio of",
    "inside": "inside its band",
    "under": "under its band",
    "over": "over its band",
    "cannot-tell": "on this scale it cannot be told whether it is inside its band",
}

WRITTEN = "The record is in {page}, and as JSON beside it."
NOT_WRITTEN = (
    "The batch is stored, but its record could not be written now; "
    "“mixstation records export {batch_id} FOLDER” writes it later."
)

OTHER_PORTION = "no layer"
BUCKET_PLACE = "{number} of {count}"
ALL_TYPED = "typed, none read from a scale"


def not_written(batch_id: str, why: str | None) -> str:
    """That a batch is stored, its record not written, and how to have it.

    Args:
        batch_id: The batch.
        why: What a person can mend; None for an error that is no person's doing.
    """
    return " ".join(filter(None, (NOT_WRITTEN.format(batch_id=clean(batch_id, 100)), why)))


def proof_said(entry_count: int, short: str) -> str:
    """How many entries a batch had and the head of its chain, short enough to be written down; the audit finds it."""
    return f"{counted(entry_count, 'entry', 'entries')}, {short}"


def water_said(place: str, *, ended: bool) -> str:
    """How a water ratio stands; by plan where the batch is not ended."""
    return _WATER_SAID[place] if ended or not place else f"by plan {_WATER_SAID[place]}"


def outcome_said(outcome: str, reason: str) -> str:
    """How a batch ended, with the concession or the reason."""
    words = OUTCOME_WORDS[outcome]
    return f"{words}: {reason}" if reason else words


def fact_line(run: Run, entry: e.Entry, speech: Speech) -> str:
    """What an entry says in the record; see `entry_line`. A tub that was weighed back is told too."""
    said, fact = entry_line(run, entry, speech), entry.fact
    if isinstance(fact, e.WeightRecorded) and fact.residue_mg is not None:
        if fact.residue_mg < 0:
            return f"{said}, tub weighed back {speech.mass(-fact.residue_mg)} lighter than before"
        return f"{said}, tub weighed back with {speech.mass(fact.residue_mg)} stuck to it"
    return said


def entry_line(run: Run, entry: e.Entry, speech: Speech) -> str:
    """What an entry says, in short.

    Args:
        run: The batch once the entry was made; an entry taken back still knows its step there.
        entry: The entry.
        speech: How to say masses.

    Returns:
        A line without a stop, from the entry's own words: not cleaned.
    """
    fact = entry.fact
    match fact:
        case e.WeightRecorded():
            amount, apart = as_booked(run, fact, speech).mass(fact.mass_mg), weighed_on(run, fact)
            known = fact.source if apart is None else f"{fact.source}, “{apart.scale}”"
            return f"{amount} {name_of(run.recipe, fact.material)} in ({known})"
        case e.TubFilled():
            return f"tub filled, {speech.mass(fact.mass_mg)}"
        case e.MaterialRemoved():
            return f"{speech.mass(fact.mass_mg)} {name_of(run.recipe, fact.material)} out ({fact.source})"
        case e.PortionTaken():
            what = f"for the {fact.layer}" if fact.layer else "out"
            return f"{speech.mass(fact.mass_mg)} of the mix {what} ({fact.source})"
        case e.StepDone():
            return f"done: {step_words(run, run.step_of(fact.step))}"
        case e.StepSkipped():
            return f"left out: {step_words(run, run.step_of(fact.step))} ({fact.reason})"
        case e.StepBroughtForward():
            return f"brought forward: {step_words(run, run.step_of(fact.step))}"
        case e.ConsistencyJudged():
            step = run.step_of(fact.step) if fact.step is not None else None
            method = step.method if isinstance(step, ConsistencyStep) else ""
            figure = "" if fact.figure is None else f", {judged_figure(method, fact, speech.units)}"
            return f"consistency {VERDICT_WORDS[fact.verdict]}{figure}"
        case e.ReleaseGoesOn():
            return "held-back water let in, in steps, though the mix was right"
        case e.TemperatureTaken():
            return f"mix at {show_temperature_c(fact.mix_milli_c / 1000, speech.units)}"
        case e.DensityMeasured():
            cup = show_volume_ml(Fraction(fact.cup_ul, 1000), speech.units)
            return f"{speech.mass(fact.mass_mg)} of mix fills the cup of {cup}"
        case e.SupplyRanOut():
            return f"{name_of(run.recipe, fact.material)} ran out"
        case e.WayTaken():
            return f"way out: {fact.said}"
        case e.RemedyTaken():
            return f"remedy: {fact.said}"
        case e.WeighingChanged():
            return f"from here on {WEIGHING_WORDS[fact.weighing]}"
        case e.BatchStarted():
            like = (line.removesuffix(".") for line in before_water(run, speech.units))
            return "; ".join((f"batch begun: {fact.piece or fact.recipe.name}", *like))
        case e.SafetyAcknowledged():
            return DONE_TEXT.lower()
        case e.ReferenceTaken():
            return f"{REFERENCE_WORDS[fact.weighing]} on the scale: {speech.mass(fact.gross_mg)}"
        case e.TimerStarted():
            resting = goes_on_alone(run.step_of(fact.step))
            return f"{'rest' if resting else 'paddle'} begins: {step_words(run, run.step_of(fact.step))}"
        case e.EntryTakenBack():
            which = ", ".join(map(str, fact.seqs))
            return f"taken back: {'entry' if len(fact.seqs) == 1 else 'entries'} {which} ({fact.reason})"
        case e.BatchPaused():
            return f"paused ({fact.reason})" if fact.reason else "paused"
        case e.BatchTakenUp():
            return "taken up again"
        case e.FlagRaised():
            return f"{GRAVITY_WORDS[fact.gravity]}: {fact.said}"
        case e.FlagPutAway():
            return f"read and put away: {fact.said}"
        case e.ScaleChanged():
            return f"scale {fact.state}: {fact.detail}" if fact.detail else f"scale {fact.state}"
        case e.NoteWritten():
            return f"note: {fact.text}"
        case e.ProgramResumed():
            anew = "" if fact.settings is None else f"; from here on {settings_words(fact.settings)}"
            return f"program started again, version {fact.program}{anew}"
        case e.ClockStepped():
            way = "on" if fact.by_ms > 0 else "back"
            return f"the computer's clock was set {way} by {show_duration(abs(fact.by_ms) // 1000)}"
        case e.BatchFinished():
            placed = _placed(fact.placed_before_s)
            return f"batch closed{placed} ({fact.concession})" if fact.concession else f"batch closed{placed}"
        case e.BatchDiscarded():
            return f"batch discarded ({fact.reason})"
        case _ as forgotten:
            assert_never(forgotten)


def _placed(before_s: int | None) -> str:
    if before_s is None:
        return ""
    return f", placed {show_duration(before_s)} before" if before_s else ", just placed"
