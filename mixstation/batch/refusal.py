"""Refusals, and the small guards every decision shares."""

from types import UnionType

from mixstation.batch.events import Fact, StepDone, StepSkipped, TimerStarted
from mixstation.batch.flag import Value
from mixstation.batch.run import Run, RunStep
from mixstation.frozen import dataclass
from mixstation.recipe.model import RestStep


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """Why a command changes nothing.

    Attributes:
        code: What is wrong.
        values: What the sentence needs.
        asks: True where the same command with `confirmed` would go through.
        also: What else would go through with the same yes.
    """

    code: str
    values: tuple[tuple[str, Value], ...] = ()
    asks: bool = False
    also: tuple["Refusal", ...] = ()


class RefusedError(Exception):
    """Raised inside a decision; `decide` hands out its refusal."""

    def __init__(self, code: str, *, asks: bool = False, **values: Value) -> None:
        """Keep the refusal."""
        self.refusal = Refusal(code=code, values=tuple(values.items()), asks=asks)

    @classmethod
    def of(cls, refusal: Refusal) -> "RefusedError":
        """To be raised for a refusal that is there already."""
        error = cls(refusal.code)
        error.refusal = refusal
        return error


def said(text: str) -> str:
    """A reason without its margins; refused when empty."""
    if not text.strip():
        raise RefusedError("no-reason")
    return text.strip()


def any_step(run: Run) -> RunStep:
    """The step at hand; refused when all are through."""
    if run.step is None:
        raise RefusedError("no-step")
    return run.step


def at_hand(run: Run, kind: type | UnionType) -> RunStep:
    """The step at hand; refused when it is of another kind."""
    step = any_step(run)
    if not isinstance(step, kind):
        raise RefusedError("other-step")
    return step


def through(run: Run, *facts: Fact) -> tuple[Fact, ...]:
    """Facts that end the step at hand, with the timer of a rest that begins by itself."""
    ended = {fact.step for fact in facts if isinstance(fact, StepDone | StepSkipped)}
    following = next((step for step in run.steps if step.key not in run.finished | ended), None)
    if isinstance(following, RestStep) and following.key not in run.timers:
        return (*facts, TimerStarted(step=following.key))
    return facts
