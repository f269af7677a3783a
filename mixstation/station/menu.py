"""The two shapes of a question beside the main one: numbered lines, and a yes. "Back" is the caller's."""

from collections.abc import Callable
from dataclasses import replace

from mixstation.batch.commands import Command
from mixstation.batch.refusal import Refusal
from mixstation.frozen import dataclass
from mixstation.station.scene import Scene
from mixstation.station.talk import BACK, Do, Open, Outcome, Refuse, chosen, numbered
from mixstation.station.view import Answer, Question
from mixstation.wording import menu_lines as words
from mixstation.wording.refusal_lines import refusal_line

Lines = tuple[tuple[str, Outcome], ...]

# A choice is one digit of the number pad.
_MOST_LINES = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Menu:
    """Numbered lines, each leading to something.

    Attributes:
        ident: Tells this menu from others.
        ask: The question.
        lines: What can be picked at a scene.
        none: Said when there is nothing to pick.
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
        return Refuse(code="not-a-choice") if number is None else lines[number - 1][1]

    def settled(self, scene: Scene) -> bool:
        """Whether the question has become idle by itself."""
        return self.over(scene)

    def _offered(self, scene: Scene) -> Lines:
        lines = self.lines(scene)[self.first :]
        if len(lines) <= _MOST_LINES:
            return lines
        following = replace(self, first=self.first + _MOST_LINES - 1)
        return (*lines[: _MOST_LINES - 1], (words.MORE_LINE, Open(talk=following)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirm:
    """A command that is asked about once."""

    command: Command
    why: str
    code: str
    out: bool = False

    def question(self, scene: Scene) -> Question:
        """The reason, and whether to go on."""
        return Question(
            ident="confirm",
            ask=self._why(scene),
            enter=(words.CONFIRM_OUT if self.out else words.CONFIRM_ENTER).get(self.code, words.CONFIRM_ANY),
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """Enter goes through."""
        return Do(command=self.command)

    def _why(self, scene: Scene) -> str:
        """What was found; a time that was too short goes on with the clock."""
        timing = scene.advice.timing
        if self.code != "too-soon" or timing is None:
            return self.why
        now = (("took_s", int(timing.elapsed_s)), ("min_s", timing.min_s))
        return refusal_line(scene.run, Refusal(code=self.code, values=now, asks=True), scene.speech)

    def settled(self, scene: Scene) -> bool:
        """Whether what was asked about has come right by itself: the time that was too short is up."""
        timing = scene.advice.timing
        return self.code == "too-soon" and timing is not None and timing.elapsed_s >= timing.min_s
