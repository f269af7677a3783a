"""What a front end is given to show, and what it may say back. A front end renders this and decides nothing."""

from collections.abc import Callable
from typing import Literal, Protocol

from mixstation.frozen import Frozen

EntryKind = Literal["none", "mass", "temperature", "whole", "text", "length", "volume", "percent", "minutes"]


Gravity = Literal["stop", "warn", "note"]


PlaceShown = Literal["under", "inside", "over", "unsure"]


class Act(Frozen):
    """Something besides the main thing, on one number-pad key and one letter.

    Attributes:
        name: What an `Answer` calls it.
        pad: Its number-pad key: "+", "-", "*" or "/".
    """

    name: str
    pad: str
    letter: str
    words: str


class Choice(Frozen):
    """One of the numbered answers to a question; chosen by typing its number and Enter.

    Attributes:
        number: 1 to 9.
        detail: Further short lines (new totals, cost, what it gives up).
    """

    number: int
    words: str
    detail: tuple[str, ...] = ()


class Question(Frozen):
    """The one thing asked now.

    Attributes:
        ident: An `Answer` names it; an answer to a question no longer asked changes nothing.
        ask: A sentence in the imperative.
        detail: Further lines, most important first; unless `to_the_end`, cut from the end where there is no room.
        entry: What may be typed: nothing, a quantity, a whole number, free text.
        unit_word: Unit of a typed bare number, in words, e.g. "kilograms".
        enter: What Enter does now, in words; "" when Enter alone does nothing.
        grave: True where the question interrupts the work (trouble, a confirmation).
        dry_hands: Asked before the gloves are on: keys count as fast as they are typed, and a unit may follow a number.
        to_the_end: All of `detail` must have been on screen before Enter answers.
    """

    ident: str
    ask: str
    detail: tuple[str, ...] = ()
    entry: EntryKind = "none"
    unit_word: str = ""
    enter: str = ""
    choices: tuple[Choice, ...] = ()
    acts: tuple[Act, ...] = ()
    grave: bool = False
    dry_hands: bool = False
    to_the_end: bool = False


class Figure(Frozen):
    """The number to act on.

    Attributes:
        label: What it is, e.g. "still to pour", "mix for".
        number: Digits, decimal mark, sign or colon only; fit for big figures.
        plain: The same as one line of plain text, for those who cannot see big figures.
    """

    label: str
    number: str
    unit_word: str
    plain: str


class Pour(Frozen):
    """A dose on its way in.

    Attributes:
        target: Target with unit, as text.
        right: From where to where it is right, with unit.
        actual: What is in so far, with unit; "—" where no live reading can be shown.
        fraction: actual/target, 0 and up (over 1 when over-poured); None without a live reading.
        low_fraction: Lower end of the tolerance as a fraction of the target.
        high_fraction: Upper end.
        place: Where the actual stands against the tolerance.
        cue: "" , "pour", "slow", "stop" or "over".
    """

    target: str
    right: str
    actual: str
    fraction: float | None
    low_fraction: float
    high_fraction: float
    place: PlaceShown
    cue: Literal["", "pour", "slow", "stop", "over"]
    cue_words: str


class Countdown(Frozen):
    """A mixing or resting timer.

    Attributes:
        fraction: elapsed over most, 0 and up.
        least_fraction: least over most.
    """

    elapsed: str
    least: str
    most: str
    fraction: float
    least_fraction: float
    words: str


class RatioShown(Frozen):
    """The ratio the batch will end at if the rest goes in as planned.

    Attributes:
        label: Which ratio of what, e.g. "all water / binder".
        value: Projected value with its uncertainty, as text.
        low: Lower end of the band, as text.
        high: Upper end of the band, as text.
        position: Where the value lies: 0 at `low`, 1 at `high`; may be outside.
        target_position: Where the target lies on the same line.
        ceiling_position: Where the ceiling lies on it.
        half_width: Half width of the uncertainty on the same line.
        verdict: "inside", "can't tell on this scale", "outside", in words.
        place: For the shape of the mark.
    """

    label: str
    value: str
    target: str
    low: str
    high: str
    ceiling: str
    position: float
    target_position: float
    ceiling_position: float
    half_width: float
    verdict: str
    place: PlaceShown


class FlagShown(Frozen):
    """A flag: gravity first as a word, then a symbol, then the sentence.

    Attributes:
        away: It was read and put away: it stands, and is not shown.
    """

    gravity: Gravity
    word: str
    symbol: str
    sentence: str
    away: bool = False


class Line(Frozen):
    """One line of what went in or what is still to come.

    Attributes:
        name: Material, or what is done.
        amount: With unit; "" for a step without an amount.
        mark: One word: "in", "now", "next", "done", "skipped", "taken back".
        note: e.g. "typed", "over by 40 g".
    """

    name: str
    amount: str
    mark: str
    note: str = ""


class ClockShown(Frozen):
    """Time since the first water and what is left of the working time; "none" where no batch runs."""

    since_water: str
    left: str
    place: Literal["none", "before", "good", "near", "past"]


class ScaleShown(Frozen):
    """How the scale stands.

    Attributes:
        state: "live", "steady", "moving", "silent", "lost", "over its load", "none" ("no scale: type the weights"), or
            "" where nothing is weighed.
        text: What it shows, e.g. "12.46 kg"; "" when not live.
        fresh: Whether `text` is a live reading.
    """

    state: str
    text: str
    fresh: bool


class View(Frozen):
    """All a front end shows at one moment.

    Attributes:
        serial: Grows with every change.
        title: Piece, recipe, bucket of how many.
        place: "step 5 of 17".
        ratio: The projected water ratio, or None before it can be said.
        went_in: What is in, oldest first.
        to_come: What is still to come, next first.
        saved: "saved", "saving", or the banner that storage is away (then `saved_grave`).
        notice: What came of the last answer: a confirmation or a refusal, with what to do.
        bells: Counts bells rung since the start; a front end rings when it grows.
        ended: The batch is over and the front end may close.
        sketch: A drawing or a table, line by line as it stands; cut where there is no room.
        parting: Said once the front end has closed; "" for the usual words.
        answered: Answers handled so far, whatever came of them.
        unsaved: What is in the entries that the storage has not taken, oldest first.
    """

    title: str
    place: str
    question: Question
    clock: ClockShown
    scale: ScaleShown
    serial: int = 0
    figure: Figure | None = None
    pour: Pour | None = None
    countdown: Countdown | None = None
    ratio: RatioShown | None = None
    flags: tuple[FlagShown, ...] = ()
    went_in: tuple[Line, ...] = ()
    to_come: tuple[Line, ...] = ()
    saved: str = ""
    saved_grave: bool = False
    notice: str = ""
    bells: int = 0
    ended: bool = False
    sketch: tuple[str, ...] = ()
    parting: str = ""
    answered: int = 0
    unsaved: tuple[str, ...] = ()


class Answer(Frozen):
    """What the mixer did at a front end.

    Attributes:
        question: `ident` of the question it was shown for.
        pressed: "enter" (with `typed` possibly empty) or the name of an act.
        typed: What was typed before, as typed; a choice's number is typed.
    """

    question: str
    pressed: str
    typed: str = ""


class Desk(Protocol):
    """A running batch as a front end sees it. Safe from any thread; no call blocks."""

    def view(self) -> View:
        """The latest view. The same object comes back until something has changed.

        Raises:
            RuntimeError: The desk has failed, its cause; nothing more will come of it.
        """

    def answer(self, answer: Answer) -> None:
        """Hand in what the mixer did; what came of it shows in a later view."""

    def watch(self, call: Callable[[], None]) -> None:
        """Have `call` run, in another thread, when the view has changed; of live weights a few times a second."""

    def stop(self) -> None:
        """Release scale and record. May be called more than once."""
