"""The parts of the board other than the figure, each as rows for a given width."""

from dataclasses import replace
from functools import lru_cache
from itertools import product

from mixstation.screens.gloves import Hands
from mixstation.screens.rows import (
    BLANK,
    GRAVITY_LOOK,
    PART_GAP,
    Look,
    Row,
    columns_of,
    ends,
    first_fitting,
    flowed,
    row,
    trimmed,
    worded,
    wrapped,
)
from mixstation.station.view import Act, ClockShown, Line, Question, ScaleShown, View
from mixstation.wording import front

CURSOR = "_"
NARROW_COLUMNS = 12


def title_row(view: View, columns: int) -> Row:
    """What is mixed and how far it is; the title loses whole parts from its front."""
    place = row((view.place, "strong"))
    room = columns - columns_of(place) - 1
    parts = view.title.split(" · ")
    forms = (row((" · ".join(parts[first:]), "strong")) for first in range(len(parts)))
    return ends(first_fitting(forms, room), place, columns) if room > 0 else worded(place, columns)


def banner_rows(view: View, columns: int) -> tuple[Row, ...]:
    """That storage is away, across the whole width."""
    return wrapped(f"!! {view.saved}", columns, "stop")[:2] if view.saved_grave else ()


def clock_parts(clock: ClockShown) -> tuple[str, ...]:
    """A word for it, first water, what is left."""
    since = f"{front.SINCE_WATER} {clock.since_water}" if clock.since_water else ""
    return tuple(part for part in (front.CLOCK_WORD[clock.place], since, clock.left) if part)


def clock_look(clock: ClockShown) -> Look:
    """How loud the clock is."""
    looks: dict[str, Look] = {"near": "warn", "past": "stop"}
    return looks.get(clock.place, "plain")


def scale_text(scale: ScaleShown) -> str:
    """The scale's state and, while live, what it shows."""
    if not scale.state:
        return ""
    state = scale.state if front.SCALE in scale.state else f"{front.SCALE} {scale.state}"
    return state + (f" {scale.text}" if scale.fresh and scale.text else "")


def scale_look(scale: ScaleShown) -> Look:
    """How loud the scale's state is."""
    return "plain" if scale.fresh or (not scale.text and front.SCALE in scale.state) else "warn"


def status_row(view: View, columns: int) -> Row:
    """Clock, scale and record in one row, by whole parts: it does without figures that stand elsewhere first."""
    clocks = [row((text, clock_look(view.clock))) for text in _clock_forms(view.clock)]
    record = row(view.saved) if view.saved and not view.saved_grave else BLANK
    look = scale_look(view.scale)
    scales = [row((text, look), PART_GAP if record else "", *record) for text in _scale_forms(view.scale)]
    for clock, right in (*product(clocks, scales), *product(clocks, (record,))):
        if columns_of(clock) + len(PART_GAP) + columns_of(right) <= columns:
            return ends(clock, right, columns)
    return worded(clocks[-1], columns)


def _clock_forms(clock: ClockShown) -> tuple[str, ...]:
    """From all of it down to what cannot be done without: the time from the first water, or that it is up."""
    parts = clock_parts(clock)
    calm = clock.place == "good"
    forms = (parts, parts[1:], parts[1:2]) if calm else (parts, parts[:2], parts[:1])
    return tuple(dict.fromkeys(" · ".join(form) for form in forms))


def _scale_forms(scale: ScaleShown) -> tuple[str, ...]:
    """With what it shows or what to do about it, then without."""
    return tuple(dict.fromkeys((scale_text(scale), scale_text(replace(scale, text="")).partition(":")[0])))


def status_rows(view: View, columns: int) -> tuple[Row, ...]:
    """Clock, scale and record one below the other."""
    clock = [worded(row((part, clock_look(view.clock))), columns) for part in clock_parts(view.clock)]
    scales = (row((text, scale_look(view.scale))) for text in _scale_forms(view.scale))
    scale = first_fitting(scales, columns)
    record = [] if view.saved_grave else [worded(row(f"{front.RECORD} {view.saved}"), columns)]
    return (*clock, scale, *record)


def ask_rows(question: Question, columns: int) -> tuple[Row, ...]:
    """What to do, as a sentence."""
    look: Look = "stop" if question.grave else "strong"
    mark = "!! " if question.grave else ""
    return wrapped(mark + question.ask, columns, look, indent=_indent(len(mark), columns))


def detail_rows(question: Question, columns: int) -> tuple[Row, ...]:
    """Further lines of the question."""
    indent = _indent(2, columns)
    return tuple(line for text in question.detail for line in wrapped(f"· {text}", columns, indent=indent))


def _indent(indent: int, columns: int) -> int:
    return indent if columns > NARROW_COLUMNS else 0


def sketch_rows(view: View, columns: int) -> tuple[Row, ...]:
    """A drawing or a table as it stands."""
    return tuple(trimmed(row(line), columns) for line in view.sketch)


def short_choice_rows(view: View, hands: Hands, columns: int, whole: bool = False) -> tuple[Row, ...]:
    """The numbered answers in a row each, cut between words; the typed one is marked and, if `whole`, not cut."""
    rows: list[Row] = []
    for choice in view.question.choices:
        chosen = hands.typed == str(choice.number)
        head = row(">[" if chosen else " [", (str(choice.number), "strong"), "] ")
        if chosen and whole:
            first, *more = wrapped(choice.words, max(columns - 6, 1), "cap") or (row(),)
            rows += [row(*head, *first), *(row(" " * 5, *line) for line in more)]
        else:
            rows.append(worded(row(*head, (choice.words, "cap" if chosen else "strong")), columns))
    return tuple(trimmed(line, columns) for line in rows)


def choice_rows(
    view: View, hands: Hands, columns: int, details: int, spaced: bool = False
) -> tuple[Row, ...]:
    """The numbered answers, each with at most `details` further lines; the typed one is marked."""
    rows: list[Row] = []
    for choice in view.question.choices:
        chosen = hands.typed == str(choice.number)
        mark = ">" if chosen else " "
        first, *more = wrapped(choice.words, max(columns - 6, 1), "cap" if chosen else "strong") or (row(),)
        rows.append(row(f"{mark}[", (str(choice.number), "strong"), "] ", *first))
        rest = [*more, *(line for text in choice.detail for line in wrapped(text, max(columns - 6, 1)))]
        rows += [row(" " * 5, *line) for line in rest[: details + len(more)]]
        if spaced:
            rows.append(BLANK)
    return tuple(trimmed(line, columns) for line in rows)


def flag_rows(view: View, columns: int) -> tuple[Row, ...]:
    """Flags, gravest first: word, symbol, sentence."""
    rows: list[Row] = []
    for flag in (flag for flag in view.flags if not flag.away):
        head = f" {flag.symbol} {flag.word} "
        first, *more = wrapped(flag.sentence, max(columns - len(head) - 1, 1)) or (row(),)
        rows.append(row((head, GRAVITY_LOOK[flag.gravity]), " ", *first))
        rows += [row(" " * (len(head) + 1), *line, " …" if more[1:] else "") for line in more[:1]]
    return tuple(trimmed(line, columns) for line in rows)


@lru_cache(maxsize=256)
def _line_row(line: Line, columns: int) -> Row:
    look: Look = "strong" if line.mark == "now" else "plain"
    note = f", {line.note}" if line.note else ""
    return ends(row(f"{line.mark:<4} ", (line.name, look), note), row((line.amount, look)), columns)


def went_in_rows(view: View, columns: int, most: int) -> tuple[Row, ...]:
    """The newest of what is in, oldest first."""
    return tuple(_line_row(line, columns) for line in view.went_in[-most:]) if most > 0 else ()


def to_come_rows(view: View, columns: int, most: int) -> tuple[Row, ...]:
    """The first of what is still to come."""
    return tuple(_line_row(line, columns) for line in view.to_come[:most])


def notice_rows(view: View, columns: int) -> tuple[Row, ...]:
    """What came of the last answer."""
    return wrapped(view.notice, columns, indent=2)[:2] if view.notice else ()


def hands_rows(view: View, hands: Hands, columns: int) -> tuple[Row, ...]:
    """What is typed, what is said about the last key, or else how to answer."""
    question = view.question
    if hands.said:
        return wrapped(front.SAID[hands.said], columns, "warn")[:2]
    if question.entry == "text":
        typed = row("> ", (hands.typed + CURSOR, "strong"))
        over = max(0, len(hands.typed) + 3 - columns)
        if over:
            typed = row("…", (hands.typed[over + 1 :] + CURSOR, "strong"))
        return (typed, row(front.WIPES_TEXT)) if hands.typed else (typed,)
    if hands.typed:
        unit = "" if question.choices else f" {question.unit_word}"
        return (row(f"{front.TYPED} ", (f"{hands.typed}{CURSOR}", "strong"), f"{unit}   {front.WIPES}"),)
    if question.choices:
        return (row(front.HOW_TO_CHOOSE),)
    how = front.HOW_TO_TYPE[question.entry].format(unit=question.unit_word)
    return (row(how),) if how else ()


def enter_row(view: View, hands: Hands, columns: int) -> Row:
    """What Enter does now."""
    words = view.question.enter or (front.ENTER_CLOSES if view.ended else "")
    chosen = [choice for choice in view.question.choices if hands.typed == str(choice.number)]
    if chosen:
        words = front.ENTER_CHOICE.format(number=chosen[0].number, words=chosen[0].words)
    elif hands.typed and view.question.entry == "none":
        words = front.ENTER_WIPES.format(typed=hands.typed)
    elif hands.typed and (view.question.entry != "text" or not words):
        words = front.ENTER_TYPED.format(typed=f"{hands.typed} {view.question.unit_word}".strip())
    sent = row((f" ({front.ENTER_SENT})", "strong")) if hands.pressed == "enter" else ()
    look: Look = "strong" if words else "plain"
    return worded(row(("[ENTER]", "cap"), " ", (words or front.ENTER_IDLE, look), *sent), columns)


def _act(act: Act, pressed: str) -> Row:
    sent = f" ({front.ENTER_SENT})" if pressed == act.name else ""
    letter = f" ({act.letter})" if act.letter and act.pad else ""
    return row((f"[{act.pad or act.letter}]", "cap"), f" {act.words}{letter}", (sent, "strong"))


def act_rows(view: View, hands: Hands, columns: int) -> tuple[Row, ...]:
    """The acts in the order of the number pad, as many on a row as fit."""
    acts = sorted(view.question.acts, key=lambda act: "/*-+0".find(act.pad or "0"))
    return flowed((_act(act, hands.pressed) for act in acts), columns)
