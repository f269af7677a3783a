"""A talk asks one question and turns the answer into a command, another talk, or a word back."""

from typing import Protocol

from mixstation.batch.commands import Command
from mixstation.frozen import dataclass
from mixstation.station.scene import Scene
from mixstation.station.view import Act, Answer, Choice, Question

BACK = Act(name="back", pad="-", letter="b", words="go back")
ADD_ELSE = Act(name="add-else", pad="+", letter="a", words="add other")
TAKE_BACK = Act(name="take-back", pad="-", letter="b", words="take back")
TROUBLE = Act(name="trouble", pad="*", letter="t", words="trouble")
MENU = Act(name="menu", pad="/", letter="m", words="more")

MAIN_ACTS = (ADD_ELSE, TAKE_BACK, TROUBLE, MENU)


@dataclass(frozen=True, slots=True, kw_only=True)
class Do:
    """Carry out a command; `then` is asked next when it went through, else the main question."""

    command: Command
    then: "Talk | None" = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Open:
    """Ask something else; `ways` has the ways out worked out first."""

    talk: "Talk"
    ways: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Say:
    """Stay, and say why."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Refuse:
    """Stay, and say why by its code."""

    code: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Back:
    """Return to the main question."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Leave:
    """The mixer is through with this batch's screen."""


Outcome = Do | Open | Say | Refuse | Back | Leave


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
    return tuple(Choice(number=number, words=words) for number, words in enumerate(lines[:9], start=1))
