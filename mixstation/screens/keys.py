"""What a key means: every name a terminal may send for it, and what it does at the question shown."""

from typing import Literal

from mixstation.frozen import Frozen
from mixstation.station.view import Question

Does = Literal["type", "retype", "erase", "wipe", "send", "nothing"]

ENTER, ERASE, WIPE, CURSOR, LEAVE = "enter", "erase", "wipe", "cursor", "leave"
PAD_ACTS = "+-*/"
DECIMAL_MARKS = ".,"
DIGITS = "0123456789"
NOISE = "\N{REPLACEMENT CHARACTER}"
LONGEST_NUMBER = 14
LONGEST_QUANTITY = 24
LONGEST_TEXT = 200

_NAMES: dict[str, str] = {
    **dict.fromkeys(("enter", "ctrl+j", "ctrl+m", "newline", "shift+enter"), ENTER),
    **dict.fromkeys(("backspace", "ctrl+h"), ERASE),
    "escape": WIPE,
    **dict.fromkeys(("ctrl+c", "ctrl+q"), LEAVE),
    **dict.fromkeys(
        ("up", "down", "left", "right", "home", "end", "pageup", "pagedown", "insert", "delete", "begin"),
        CURSOR,
    ),
}

_PAD_NAMES: dict[str, str] = {
    "decimal": ".",
    "separator": ",",
    **dict.fromkeys(("divide", "f2"), "/"),
    **dict.fromkeys(("multiply", "f3"), "*"),
    **dict.fromkeys(("subtract", "f4"), "-"),
    "add": "+",
}


class Stroke(Frozen):
    """One key event, understood.

    Attributes:
        key: Which key it was; two names of one key are the same key.
        does: What it does here.
        value: The character typed, or what is sent: "enter" or the name of an act.
        said: Why it does nothing, as a code.
        free: Ordinary typing, to which the rules for gloves do not apply.
        quick: Part of a number, whose digits follow one another faster than lines are chosen.
    """

    key: str
    does: Does
    value: str = ""
    said: str = ""
    free: bool = False
    quick: bool = False


def key_of(name: str, character: str | None) -> str:
    """Our name of a key: a character, one of the names above, or "" for a key of no use here.

    Args:
        name: The terminal library's name of the key.
        character: What it prints, if anything.
    """
    if character == NOISE:
        return ""
    if name in _NAMES:
        return _NAMES[name]
    if character is not None and len(character) == 1 and character.isprintable():
        return character
    return _PAD_NAMES.get(name, name if len(name) == 1 and name.isprintable() else "")


def stroke(key: str, question: Question, typed: str) -> Stroke:
    """What `key` does at `question` while `typed` stands in the entry."""
    if question.entry == "text" and (typed or key not in PAD_ACTS):
        return _text_stroke(key, question, typed)
    if key == ENTER:
        return _enter(question, typed)
    if key in (ERASE, WIPE):
        quick = key == ERASE and _of_a_number(question)
        return Stroke(key=key, does="erase" if key == ERASE else "wipe", free=question.dry_hands, quick=quick)
    if key == CURSOR:
        return Stroke(key=key, does="nothing", said="cursor")
    if key == "-" and typed:
        return Stroke(key=key, does="wipe", free=question.dry_hands)
    if question.dry_hands and question.entry != "none" and _of_a_quantity(key, typed):
        if len(typed) >= LONGEST_QUANTITY:
            return Stroke(key=key, does="nothing", said="full", free=True)
        return Stroke(key=key, does="type", value=key, free=True)
    for act in question.acts:
        pad = "" if typed and act.pad in DIGITS else act.pad
        if key and key.lower() in (pad, act.letter.lower()):
            return Stroke(key=key.lower(), does="send", value=act.name)
    if key and (key in DIGITS or key in DECIMAL_MARKS or (key == "-" and question.entry == "temperature")):
        if question.entry == "none" and not question.choices:
            # It stands until the next Enter, which then does not act: whoever types does not mean that.
            return Stroke(key=key, does="type", value=key, said="no-entry")
        if len(typed) >= LONGEST_NUMBER:
            return Stroke(key=key, does="nothing", said="full", quick=_of_a_number(question))
        does: Does = "retype" if _other_line(key, question, typed) else "type"
        return Stroke(key=key, does=does, value=key, quick=_of_a_number(question))
    return Stroke(key=key.lower(), does="nothing")


def _of_a_number(question: Question) -> bool:
    return question.entry != "none" and not question.choices


def _other_line(key: str, question: Question, typed: str) -> bool:
    """Whether a digit chooses another line of a menu, rather than going on with the number of one."""
    numbers = [str(choice.number) for choice in question.choices]
    return bool(typed) and bool(numbers) and not any(each.startswith(typed + key) for each in numbers)


def _of_a_quantity(key: str, typed: str) -> bool:
    """Whether a key may be part of a number with its unit, such as 1 3/8 in."""
    return len(key) == 1 and (key in DIGITS or key in DECIMAL_MARKS or bool(typed))


def _enter(question: Question, typed: str) -> Stroke:
    if typed and question.entry == "none" and not question.choices:
        return Stroke(key=ENTER, does="wipe", said="wiped")
    if not typed and not question.enter:
        return Stroke(key=ENTER, does="nothing", said="enter-idle")
    return Stroke(key=ENTER, does="send", value=ENTER)


def _text_stroke(key: str, question: Question, typed: str) -> Stroke:
    if key == ENTER:
        return _enter(question, typed)
    if key in (ERASE, WIPE):
        return Stroke(key=key, does="erase" if key == ERASE else "wipe", free=True)
    if len(key) != 1:
        return Stroke(key=key, does="nothing", free=True)
    if len(typed) >= LONGEST_TEXT:
        return Stroke(key=key, does="nothing", said="full", free=True)
    return Stroke(key=key, does="type", value=key, free=True)
