"""Short words of the screen's standing parts: cues, ratio, clock, scale, saving."""

from mixstation.batch.advice import Cue, Standing
from mixstation.batch.events import Fact, MaterialRemoved, PortionTaken, ReferenceTaken, WeightRecorded
from mixstation.recipe.model import AddStep, Basis
from mixstation.wording.counted import counted
from mixstation.wording.counted_lines import DRIPPED
from mixstation.wording.spoken import BASIS_WORDS
from mixstation.wording.storage_lines import trouble_words
from mixstation.wording.words import Speech, as_booked, name_of

CUE_WORDS: dict[Cue, str] = {
    "": "",
    "pour": "pour",
    "slow": "pour slowly now",
    "stop": "stop",
    "over": "over: stop",
}

VERDICT_WORDS = {
    "inside": "inside",
    "cannot-tell": "can't tell on this scale",
    "under": "outside",
    "over": "outside",
}

SCALE_WORDS = {
    "steady": "steady",
    "moving": "moving",
    "stale": "silent",
    "fault": "shows no weight",
    "none": "waiting for the scale",
    "lost": "unplugged",
    "unreadable": "lines unreadable",
    "other-unit": "in another unit",
}
NO_SCALE = "no scale: type the weights"
STANDS_STILL = "not looked at"
NOT_YET = "waiting to save"
HELD_UP = (
    "Stop pouring: the program is held up, perhaps by the disk. Nothing shown is of now until it goes on."
)

SAVED = "saved"

TIMER_WORDS = {"short": "keep on", "enough": "enough", "long": "too long"}

STILL_TO_GO, GOING_FOR, OVER_BY = "still to go", "going for", "over by"
WEIGH_IN, TAKE_OUT = "weigh in", "take out"
TIME_UNITS = "minutes : seconds"

# What became of an entry that moved mass, and how near a step is.
TAKEN_BACK, WENT_IN, CAME_OUT, THE_MIX = "taken back", "in", "out", "mix"
NOW, NEXT = "now", "next"

STEP_OF = "step {number} of {count}"
BUCKET_OF = "bucket {number} of {count}"
WORKING_TIME = "{low} to {high} min from the first water"
TIME_LEFT = "{low} to {high} min left"
TIME_IS_PAST = "working time is past"

DRIPPED_IN = "{amount} {name} dripped in after the dose: counted with it."
BOOKED = "{amount} {name} is in."
PART_BOOKED = "{amount} {name} is in; {left} still to go."
OUT_BOOKED = "{amount} {name} is out."
TAKEN = "Noted."
OVER = "The batch is over. {said}"


def saving_late(count: int, code: str) -> str:
    """The banner while the storage is away.

    Args:
        count: Entries that are held.
        code: What keeps them from being stored, of a `StorageError`.
    """
    entries = counted(count, "entry", "entries")
    return f"NOT SAVED: the storage does not take {entries} ({trouble_words(code)}). Go on; mend it soon."


def ratio_label(basis: Basis) -> str:
    """Which ratio is steered by."""
    return f"ends at, all water / {BASIS_WORDS[basis]}"


def booked_words(standing: Standing, facts: tuple[Fact, ...], speech: Speech, at_hand: Speech) -> str:
    """What was just kept, in a sentence; "" where the next question says it.

    Args:
        standing: After the facts.
        facts: Of one decision.
        speech: How to say masses.
        at_hand: How to say those of the step at hand.
    """
    run, step, dosing = standing.run, standing.step, standing.dosing
    booked = next((fact for fact in facts if isinstance(fact, WeightRecorded)), None)
    if booked is None:
        out = next((fact for fact in facts if isinstance(fact, MaterialRemoved | PortionTaken)), None)
        if out is not None:
            name = name_of(run.recipe, out.material) if isinstance(out, MaterialRemoved) else THE_MIX
            return OUT_BOOKED.format(amount=speech.finely(out.mass_mg), name=name)
        return TAKEN if not isinstance(facts[0], ReferenceTaken) else ""
    amount = as_booked(run, booked, speech).mass(booked.mass_mg)
    name = name_of(run.recipe, booked.material)
    if dosing is not None and isinstance(step, AddStep) and step.key == booked.step and dosing.target_mg:
        return PART_BOOKED.format(amount=amount, name=name, left=at_hand.mass(dosing.target_mg))
    if booked.reason == DRIPPED:
        return DRIPPED_IN.format(amount=amount, name=name)
    return BOOKED.format(amount=amount, name=name)
