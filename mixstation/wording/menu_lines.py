"""Words of the talks beside the main question."""

from collections.abc import Mapping

from mixstation.batch.events import Verdict, Weighing

BACK_ACT, ADD_ACT, TAKE_BACK_ACT, TROUBLE_ACT, MENU_ACT = (
    "go back",
    "add other",
    "take back",
    "trouble",
    "more",
)

FLAGS_ACT = "warnings: {count}"
PUT_AWAY_ENTER = "put it away"
NOTHING_TO_PUT_AWAY = "No warning is left to put away."
FLAG_STAYS = "stays until mended: {line}"
FLAG_AWAY = "put away, in the record: {line}"
FLAG_NEXT = "then: {line}"

THE_MIX = "mix"
ADDED_BESIDE = "added beside the recipe"
UNRECORDED = "went in without being entered"
CAME_OUT = "came out"

WHICH_ADDED = "What went in? Type its number."
HOW_MUCH = {
    "added": "How much {name} went in? Type the weight.",
    "out": "How much {name} came out? Type the weight.",
}
WHICH_WEIGHT = "Which did you mean?"
BESIDE_ASKED = "{amount} of {name}: {why}"
WHICH_OF_TUB = "What is {typed}? The tub was filled with {filled}."
TUB_WEIGHED = "the tub, weighed back: {amount} went in"
TUB_STUCK = "what stuck to the tub: {amount} went in"
TUB_WENT_IN = "what went in: {amount}"
WHICH_OUT = "What came out? Type its number."
SOME_MIX = "some of the mix"
WHICH_SWAPPED = "Which of these was really another material?"
SWAPPED_TO = "What was it really?"
FOREIGN_LINE = "something that is not in this recipe"
FOREIGN = "The recipe knows nothing of it: no figure holds any more. Discard it."
FOREIGN_DISCARD = "something that is not in the recipe went in"
FOREIGN_BACK = "nothing of the kind went in: go back"
UNKNOWN_LINE = "another material, mass not known"
UNKNOWN = "What went in is not known: no figure holds any more. Discard it."
UNKNOWN_DISCARD = "another material went in, mass not known"
UNKNOWN_BACK = "go back"
SWAPPED = "another material went in"
WHICH_ENTRY = "Which entry does not count? It stays in the record."
NOTHING_TO_TAKE_BACK = "Nothing is entered that could be taken back."
WHAT_ELSE = "What else?"
WHICH_STEP = "Which step now?"
NO_STEP_AHEAD = "There is no other step ahead."
NOTHING_TO_RUN_OUT = "Nothing is still to come that could run out."
WHICH_RAN_OUT = "Of what is there no more?"
WHICH_WEIGHING = "What stands on the scale from now on?"
TYPE_TEMPERATURE = "Type the temperature of the mix."
HOW_MOVES = "How does the mix move, rested and mixed again?"
TYPE_NOTE = "Write a note."
NOTE_ENTER = "keep the note"
PART_OF_DOSE = "more is in: it is part of this dose"
PUT_RIGHT = "not yet: I put the right thing on first"
IT_IS_ON = "it is on, and empty: it weighs that"
SET_TO_ZERO: Mapping[Weighing, str] = {
    "bucket": "the bucket is on, and the scale was set to zero with it",
    "tub": "the tub is on, and the scale was set to zero with it",
    "supply": "the supply is on, and the scale was set to zero with it",
}
SET_DOWN_LINES: Mapping[Weighing, str] = {
    "bucket": "the bucket was only now set down: its weight is no pour",
    "tub": "the tub was only now set down: its weight is no filling",
    "supply": "the supply was only now set down: go on from that",
}
POURED_AT_ONCE = "it all went in at once"
BUCKET_NOT_ON = "the bucket was not on before: go on from its weight"
RESIDUE_WENT_IN = "old residue came out with it: all of that went in"
ANOTHER_TUB = "this is another tub: the full one waits"
SAME_TUB = "this is that tub: I emptied it out"
OTHER_TUB = "that is not the tub: I put it back first"
MORE_LINE = "more of them"
NOTHING_IN = "nothing went in: go on from what the scale shows"
NOTHING_OUT = "nothing came out: go on from what the scale shows"
NOT_ENTERED = "something else went in: enter it"
WHAT_HAPPENED = "What happened?"
WAYS_ASK = "Ways out. Type the number of the one you take."

SKIP_LINE = "leave this step out"
FORWARD_LINE = "do another step first"
ENOUGH_LINE = "go on with what is in"
RAN_OUT_LINE = "a material ran out"
WEIGHING_LINE = "weigh another way, or take the start reading anew"
TEMPERATURE_LINE = "note the temperature"
CONSISTENCY_LINE = "too stiff, too loose or setting: say which"
NOTE_LINE = "write a note"
PAUSE_LINE = "pause"

PLACE_NOW_LINE = "place it at once, no more water"
DISCARD_ACT = "discard"
POURED_LATE = "poured before the time was up"
RIGHT_WITHOUT = "it moves right without it"
LOOSE_WITHOUT = "it is too loose without it"
WHICH_WEIGHT_WRONG = "Which weight is not what went in? Look at bags, tubs and bucket."
WEIGHTS_RIGHT = "all of them are right"
NO_MORE_WATER = "no more water: it is setting or past its time"
MIX_ON_LINE = "mix on: that mixing is done anew"
MIXED_ON = "mixed too short, mixed on"
TAKE_REMEDY_LINE = "do that now, one thing at a time"
GO_ON_LINE = "go on as it is"
WAYS_LINE = "show the ways out of what the readings say"
UNRECORDED_LINE = "something went in that is not entered"
OUT_LINE = "something came out or was lost"
SWAPPED_LINE = "the wrong material went in"
HEAVIER_LINE = "the bucket is {amount} heavier than the entries: enter what went in"
LIGHTER_LINE = "the bucket is {amount} lighter than the entries: enter what came out"
WRONG_ENTRY_LINE = "an entry is wrong: take it back"
DISCARD_LINE = "discard the batch"
READ_FLAGS_LINE = "read the warnings, put them away"

WEIGHING_LINES: dict[Weighing, str] = {
    "bucket": "the bucket; pour straight in",
    "tub": "a tub; fill it, tip it in, weigh it back",
    "supply": "the supply; take from it",
}
VERDICTS_ASKED: dict[Verdict, str] = {
    "right": "right",
    "too-stiff": "too stiff",
    "too-loose": "too loose",
    "stiff-and-warm": "stiff and warm, does not loosen",
}
TEMPERATURE_UNITS = {"°C": "degrees Celsius", "°F": "degrees Fahrenheit"}
CUP_UNITS = {"mL": "millilitres", "US fl oz": "US fluid ounces"}
VERDICT_LINES: dict[Verdict, str] = {
    "right": "right: slides off, leaves a thin even coat",
    "too-stiff": "too stiff: holds a lump",
    "too-loose": "too loose: runs off clean, bleeds",
    "stiff-and-warm": "stiff and warm, does not loosen on mixing",
}

WHY = {
    "take-back": "Why does it not count?",
    "skip": "Why is this step left out?",
    "pause": "Why the pause?",
    "discard": "Why is it discarded?",
    "concede": "Checks are open. What becomes of the batch?",
}
REASONS = {
    "take-back": (
        "typed or read wrong",
        "another material went in",
        "it did not go in",
        "entered twice",
        "done too early, will be done again",
    ),
    "skip": (
        "not needed in this mix",
        "done, but not with the program",
        "no time left",
        "tool or material missing",
    ),
    "pause": ("called away", "waiting for material", "trouble with a tool", "power"),
    "discard": (
        "too much water",
        "stiffened in the bucket",
        "wrong material went in",
        "dropped or dirtied",
        "too little or too late",
        "not needed any more",
    ),
    "concede": (
        "used: judged good enough for this piece",
        "used where it will not show",
        "used as a test piece",
        "used after mending, see the notes",
    ),
}
