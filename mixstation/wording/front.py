"""Words that screen and line mode say of themselves; all else they show comes with the view."""

from typing import TYPE_CHECKING

from mixstation.units.clean import clean

if TYPE_CHECKING:
    from mixstation.station.view import EntryKind, PlaceShown, View

OPENING = "Opening…"
TARGET = "target"
RIGHT = "right"
IN_SO_FAR = "in so far"
LEAST = "least"
MOST = "most"
ELAPSED = "elapsed"
BAND_TARGET = "aim"
CEILING = "ceiling"
WENT_IN = "went in"
TO_COME = "still to come"
SINCE_WATER = "first water"
SCALE = "scale"
RECORD = "record"
TYPED = "typed"
NO_LIVE_READING = "no live reading"
ACTUAL_OF = "{actual} of {target}"
ENTER_IDLE = "waits: nothing to confirm yet"
ENTER_SENT = "pressed"
ENTER_CLOSES = "close"
ENTER_TYPED = "take {typed}, as typed"
ENTER_WIPES = "wipe {typed}"
READ_ON = "read on"
PAGE_BACK = "a page back"
PAGE = "page {number} of {count}"
PAGE_TURNS = "{page}: Enter turns it"
ENTER_CHOICE = "answer {number}: {words}"

PLACE_SYMBOL: "dict[PlaceShown, str]" = {"under": "<", "inside": "=", "over": ">", "unsure": "?"}
PLACE_WORD: "dict[PlaceShown, str]" = {
    "under": "under",
    "inside": "inside",
    "over": "over",
    "unsure": "can't tell",
}
CLOCK_WORD = {
    "none": "",
    "before": "no water yet",
    "good": "= in time",
    "near": "! nearly up",
    "past": "!! past its time",
}
CUE_SYMBOL = {"": "", "pour": "▼▼", "slow": "▼", "stop": "■", "over": "▲"}

HOW_TO_TYPE: "dict[EntryKind, str]" = {
    "none": "",
    "mass": "Type a weight in {unit} at any moment, then Enter.",
    "temperature": "Type the temperature in {unit}, then Enter.",
    "whole": "Type a whole number, then Enter.",
    "text": "Type the words, then Enter.",
    "length": "Type the length in {unit}, then Enter.",
    "volume": "Type the volume in {unit}, then Enter.",
    "percent": "Type per cent, then Enter.",
    "minutes": "Type how many {unit}, then Enter.",
}
HOW_TO_SEE = "[d] draw it"
HOW_TO_CHOOSE = "Type the number before your answer, then Enter."
WIPES = "[-] wipes it"
WIPES_TEXT = "[Esc] wipes it"

SAID = {
    "repeat": "Same key again too soon: counted once. Let go, wait a moment, press again.",
    "mash": "Several keys at once: nothing taken. Press one key.",
    "early": "Too soon: look, then press again.",
    "moved": "The question changed: what you had typed was for the one before and is wiped.",
    "no-entry": "Nothing to type here: the next Enter wipes it.",
    "wiped": "Nothing to type here: it is wiped, nothing else was done. Enter again acts.",
    "enter-idle": "Enter has nothing to confirm yet.",
    "cursor": "That was a cursor key. If you meant a digit, press Num Lock once.",
    "full": "No more fits here.",
    "leave-unsaved": "Not all is saved: leaving now loses it. To leave all the same, press the same keys again.",
}

LEFT_RESUMABLE = "Left at {place}. What was saved stays saved: start again and go on from there."
LEFT_OPENING = "Left before the batch was open. Nothing was changed."
LEFT_ENDED = "The batch is over; every entry of it is stored."
LEFT_UNSAVED = "Left while not all was saved: {saved}"
NOT_SAVED_LINE = "Not saved: {entry}"
LEAVE_UNSAVED_LINE = "Not all is saved: leaving now may lose it. To leave all the same, type quit again."
FAILED = "The station failed: {reason}\nWhat was saved stays saved: start again and go on from there."
CRASHED = "The screen failed. What was saved stays saved: start again and go on from there."
NOT_OPENED = "The batch could not be opened: {reason}"

LINE_HELP = (
    "A number types it in; an empty line is Enter; a key or name in brackets does that; "
    "? says all again; w says the weight; quit leaves."
)
LINE_UNKNOWN = "“{line}” is no answer here. ? says what is asked."
PUT_AWAY = "put away"
LINE_CLEARED = "No longer: {sentence}"
LINE_WHOLE_TEXT = "That is the whole text; read it to its end. ? says it again."
LINE_SAVED = "Record: {saved}"
LINE_IN = "In: {line}"
LINE_NEXT = "To come: {line}"


def parting_words(view: "View") -> str:
    """What is said last of a batch, in lines: what was not saved, what the view itself says, or how to go on."""
    if view.saved_grave:
        lost = (NOT_SAVED_LINE.format(entry=clean(entry)) for entry in view.unsaved)
        return "\n".join((LEFT_UNSAVED.format(saved=clean(view.saved)), *lost))
    if view.parting:
        return clean(view.parting, limit=2000)
    return LEFT_ENDED if view.ended else LEFT_RESUMABLE.format(place=clean(view.place))
