"""A talk asks one question and turns the answer into a command, another talk, or a word back; most are menus."""

from collections.abc import Callable
from dataclasses import replace
from typing import Protocol

from mixstation.batch.commands import Command, Discard, Finish
from mixstation.batch.refusal import Asked, Plain, Refusal, TooSoon
from mixstation.frozen import Frozen
from mixstation.station.scene import Scene
from mixstation.station.view import Act, Answer, Choice, Question
from mixstation.wording import menu_lines as words
from mixstation.wording.refusal_lines import confirm_words, refusal_line

BACK = Act(name="back", pad="-", letter="b", words=words.BACK_ACT)


ADD_ELSE = Act(name="add-else", pad="+", letter="a", words=words.ADD_ACT)


TAKE_BACK = Act(name="take-back", pad="-", letter="b", words=words.TAKE_BACK_ACT)


TROUBLE = Act(name="trouble", pad="*", letter="t", words=words.TROUBLE_ACT)


MENU = Act(name="menu", pad="/", letter="m", words=words.MENU_ACT)


MAIN_ACTS = (ADD_ELSE, TAKE_BACK, TROUBLE, MENU)


class Do(Frozen):
    """Carry out a command; `then` is asked next when it went through, else the main question."""

    command: Command
    then: "Talk | None" = None


class Open(Frozen):
    """Ask something else; `ways` has the ways out worked out first."""

    talk: "Talk"
    ways: bool = False


class Refuse(Frozen):
    """Stay, and say why."""

    why: Refusal


class Back(Frozen):
    """Return to the main question."""


class Leave(Frozen):
    """The mixer is through with this batch's screen."""


class Looked(Frozen):
    """The bucket was looked into: that is noted, and what comes up by itself comes up anew."""

    note: str


Outcome = Do | Open | Refuse | Back | Leave | Looked


class Talk(Protocol):
    """One question with its answers."""

    def question(self, scene: Scene) -> Question:
        """What to ask; its ident need not tell runs apart, the caller adds that."""

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """What the answer means. UnitsError may be raised: the caller says it."""


def chosen(answer: Answer, choices: tuple[Choice, ...]) -> int | None:
    """The number of the choice typed, or None when it is not one of them."""
    typed = answer.typed.strip()
    numbers = {str(choice.number): choice.number for choice in choices}
    return numbers.get(typed)


def numbered(lines: tuple[str, ...]) -> tuple[Choice, ...]:
    """The first nine lines as choices."""
    numbers = range(1, _MOST_LINES + 1)
    return tuple(Choice(number=number, words=line) for number, line in zip(numbers, lines, strict=False))


Lines = tuple[tuple[str, Outcome], ...]


# A choice is one digit of the number pad.
_MOST_LINES = 9


class Menu(Frozen):
    """Numbered lines, each leading to something.

    Attributes:
        first: Which line is offered first; where not all have a number, the last one offered leads to the rest.
        over: Whether what was asked about is so no more.
    """

    ident: str
    ask: str
    lines: Callable[[Scene], Lines]
    none: str = ""
    first: int = 0
    over: Callable[[Scene], bool] = lambda _: False

    def question(self, scene: Scene) -> Question:
        """The lines, numbered."""
        lines = self._offered(scene)
        return Question(
            ident=f"{self.ident}/{self.first}",
            ask=self.ask if lines else self.none,
            entry="whole" if lines else "none",
            choices=numbered(tuple(line for line, _ in lines)),
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """What the picked line leads to."""
        lines = self._offered(scene)
        number = chosen(answer, numbered(tuple(line for line, _ in lines)))
        return Refuse(why=Plain.NOT_A_CHOICE) if number is None else lines[number - 1][1]

    def settled(self, scene: Scene) -> bool:
        """Whether the question has become idle by itself."""
        return self.over(scene)

    def _offered(self, scene: Scene) -> Lines:
        lines = self.lines(scene)[self.first :]
        if len(lines) <= _MOST_LINES:
            return lines
        following = replace(self, first=self.first + _MOST_LINES - 1)
        return (*lines[: _MOST_LINES - 1], (words.MORE_LINE, Open(talk=following)))


class Confirm(Frozen):
    """A command that is asked about once."""

    command: Command
    why: str
    asked: Asked
    out: bool = False

    def question(self, scene: Scene) -> Question:
        """The reason, and whether to go on."""
        return Question(
            ident="confirm",
            ask=self._why(scene),
            enter=confirm_words(self.asked, out=self.out),
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """Enter goes through."""
        return Do(command=self.command)

    def _why(self, scene: Scene) -> str:
        """What was found; a time that was too short goes on with the clock."""
        timing = scene.advice.timing
        if not isinstance(self.asked, TooSoon) or timing is None:
            return self.why
        now = TooSoon(took_s=int(timing.elapsed_s), min_s=timing.min_s)
        return refusal_line(scene.run, now, scene.speech)

    def settled(self, scene: Scene) -> bool:
        """Whether what was asked about has come right by itself: the time that was too short is up."""
        timing = scene.advice.timing
        return isinstance(self.asked, TooSoon) and timing is not None and timing.elapsed_s >= timing.min_s


def reason(what: str, command: Callable[[str], Command]) -> Menu:
    """The usual reasons for something; the picked one completes the command."""
    lines: Lines = tuple((line, Do(command=command(line))) for line in words.REASONS[what])
    return Menu(ident=f"reason/{what}", ask=words.WHY[what], lines=lambda _: lines)


def concede(close: Finish) -> Menu:
    """Asked when a batch with standing flags is closed."""
    used = reason("concede", lambda why: replace(close, concession=why))

    def lines(scene: Scene) -> Lines:
        return (*used.lines(scene), (words.DISCARD_LINE, Open(talk=discard())))

    return replace(used, lines=lines)


def discard() -> Menu:
    """Why the batch is thrown away."""
    return reason("discard", lambda why: Discard(reason=why))
