"""Short words of the screen's standing parts: cues, ratio, clock, scale, saving."""

from mixstation.batch.advice import Cue
from mixstation.recipe.model import Basis
from mixstation.wording.counted import counted
from mixstation.wording.storage_lines import trouble_words
from mixstation.wording.words import BASIS_WORDS

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
