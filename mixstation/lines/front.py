"""Runs line mode: says what has changed, reads a line, hands the answer in."""

import io
import queue
from collections.abc import Callable
from enum import Enum, auto
from threading import Thread
from typing import Literal, TextIO

from mixstation.lines.said import all_lines, changed_lines, weight_lines
from mixstation.station.view import Answer, Desk, Question
from mixstation.units.clean import clean
from mixstation.wording import front

LOOK_EVERY_S = 0.5

Builtin = Literal["again", "weight", "drawing", "leave"]


NUMBER_STARTS = "0123456789+-.,"


ENTER = "enter"


def heard(line: str, question: Question) -> Answer | Builtin | None:
    """The answer, a request to line mode itself, or None when it is neither.

    Args:
        line: As typed, without its end.

    Example:
        >>> heard("2,5", Question(ident="pour", ask="Pour.", entry="mass"))
        Answer(question='pour', pressed='enter', typed='2,5')
    """
    text = line.strip()
    word = text.casefold()
    if word == "?":
        return "again"
    if question.entry == "text":
        for act in question.acts:
            if text == act.pad or (act.pad == "+" and word == act.name):
                return Answer(question=question.ident, pressed=act.name)
        return Answer(question=question.ident, pressed=ENTER, typed=text)
    if not text:
        return Answer(question=question.ident, pressed=ENTER)
    typed, _, last = text.rpartition(" ")
    typed = typed.strip()
    for act in question.acts:
        if word in (act.name.casefold(), act.words.casefold()):
            return Answer(question=question.ident, pressed=act.name)
        if last.casefold() in (act.pad, act.letter.casefold()) and (not typed or typed[0] in NUMBER_STARTS):
            return Answer(question=question.ident, pressed=act.name, typed=typed)
    builtin: dict[str, Builtin] = {"w": "weight", "weight": "weight", "d": "drawing", "quit": "leave"}
    if word in builtin:
        return builtin[word]
    if text[0] in NUMBER_STARTS:
        return Answer(question=question.ident, pressed=ENTER, typed=text)
    return None


class _Sign(Enum):
    """Not a line: the desk has put out another view, or no more lines will come."""

    CHANGED = auto()
    CLOSED = auto()


_Item = str | _Sign


class _Front:
    def __init__(self, desk: Desk, output: TextIO, ring: Callable[[], None]) -> None:
        self.desk = desk
        self.output = output
        self.ring = ring
        self.told = desk.view()
        self.inbox: queue.SimpleQueue[_Item] = queue.SimpleQueue()
        self.waiting: list[_Item] = []
        self.woken = False
        self.warned = False

    def wake(self) -> None:
        """Runs in the desk's thread; one sign at a time, for output that stands still must not fill the inbox."""
        if not self.woken:
            self.woken = True
            self.inbox.put(_Sign.CHANGED)

    def say(self, lines: list[str]) -> None:
        for line in lines:
            self.output.write(f"{line}\n")
        if lines:
            self.output.flush()

    def read(self, source: TextIO) -> None:
        """Runs in its own thread."""
        try:
            for line in source:
                self.inbox.put(line.rstrip("\r\n"))
        except (OSError, ValueError, TypeError):
            # Closed, unreadable or none at all: no more lines will come.
            pass
        finally:
            self.inbox.put(_Sign.CLOSED)

    def next(self, wait_s: float) -> _Item | None:
        if self.waiting:
            return self.waiting.pop(0)
        try:
            return self.inbox.get(timeout=wait_s)
        except queue.Empty:
            return None

    def tell_changes(self) -> None:
        """Say what is new."""
        self.woken = False
        now = self.desk.view()
        if now is self.told:
            return
        lines = changed_lines(self.told, now)
        if now.bells > self.told.bells:
            self.ring()
        self.told = now
        self.say(lines)

    def answer(self, answer: Answer) -> None:
        """Hand in an answer and wait for what comes of it, so that a script's next line meets the next question."""
        before = self.told
        self.desk.answer(answer)
        later: list[_Item] = []
        while self.told.answered <= before.answered:
            item = self.next(LOOK_EVERY_S)
            if item is not None and item is not _Sign.CHANGED:
                later.append(item)
            self.tell_changes()
        same = (self.told.question.ident, self.told.notice) == (before.question.ident, before.notice)
        if self.told.notice and same:
            # The same refusal again is an answer too: silence would be taken for a key that was not heard.
            self.say([self.told.notice])
        self.waiting = later + self.waiting

    def stays_once(self) -> bool:
        """Where leaving would lose something it is done only when asked for twice in a row; whether to go on."""
        if not self.told.saved_grave or self.warned:
            return False
        self.say([front.LEAVE_UNSAVED_LINE])
        return True

    def take(self, line: str) -> bool:
        """Do what a line says; whether to go on."""
        meant = heard(line, self.told.question)
        goes_on = self.done(meant, line)
        self.warned = meant == "leave"
        return goes_on

    def done(self, meant: Answer | Builtin | None, line: str) -> bool:
        """Do what a line means; whether to go on."""
        match meant:
            case Answer():
                if meant.pressed == "enter" and not meant.typed and not self.told.question.enter:
                    self.say([front.SAID["enter-idle"]])
                else:
                    self.answer(meant)
            case "again":
                self.say([*all_lines(self.told), front.LINE_HELP])
            case "weight":
                self.say([clean(text, limit=1000) for text in weight_lines(self.desk.view())])
            case "drawing" if self.told.sketch:
                self.say([clean(text, limit=1000) for text in self.told.sketch])
            case "leave":
                return self.stays_once()
            case "drawing" | None:
                self.say([front.LINE_UNKNOWN.format(line=clean(line))])
        return True


def _last_words(desk: Desk) -> str:
    view = desk.view()
    if view.saved_grave:
        # Once more, and then what is so is said: a desk that stops tries to write what it still holds.
        desk.stop()
        view = desk.view()
    return front.parting_words(view)


def run_lines(desk: Desk, input: TextIO, output: TextIO, ring: Callable[[], None] = lambda: None) -> int:  # noqa: A002
    """Run line mode until the batch is over, the input ends or it is left.

    Args:
        desk: The batch; the caller stops it.
        input: Lines of answers.
        output: Where everything is said; no cursor movement, no colour.
        ring: Rings a bell, where there is one.

    Returns:
        Exit code: 0 when the batch is over or left so that it can go on, 1 when the desk failed.
    """
    if isinstance(input, io.TextIOWrapper):
        input.reconfigure(errors="replace")
    lines = _Front(desk, output, ring)
    try:
        desk.watch(lines.wake)
        lines.say([*all_lines(lines.told), front.LINE_HELP])
        Thread(target=lines.read, args=(input,), name="read-lines", daemon=True).start()
        while not lines.told.ended:
            item = lines.next(LOOK_EVERY_S)
            if item is _Sign.CLOSED or (isinstance(item, str) and not lines.take(item)):
                break
            lines.tell_changes()
        lines.say([_last_words(desk)])
    except KeyboardInterrupt:
        lines.say([_last_words(desk)])
    except RuntimeError as error:
        cause = error.__cause__ or error
        lines.say(front.FAILED.format(reason=clean(str(cause)) or type(cause).__name__).splitlines())
        return 1
    return 0
