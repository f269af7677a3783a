"""What every reader asks of a step: one table each, closed so that the type checker names it for a new kind."""

from typing import assert_never

from mixstation.frozen import dataclass
from mixstation.recipe.model import (
    AddStep,
    ConsistencyStep,
    MixStep,
    NoteStep,
    ReleaseStep,
    RestStep,
    ScrapeStep,
    SplitStep,
    Step,
    TemperatureStep,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOutStep:
    """Take something out, because a way out asks for it.

    Attributes:
        material: Plain water to pour back, or "" for a portion of the mixed bucket.
        mass_mg: How much, above 0.
    """

    key: str
    material: str
    mass_mg: int

    @property
    def say(self) -> str:
        """No words of a recipe's."""
        return ""


RunStep = Step | TakeOutStep


def put_in_step(seq: int, place: int | str) -> str:
    """Key of a step that a way or a remedy put in: its own entry, and which of its steps, from 1."""
    return f"way{seq}.{place}"


def material_of(step: RunStep | None) -> str:
    """Key of the one material a step brings in or takes out; "" where it moves none, or the mix."""
    match step:
        case AddStep() | ReleaseStep() | TakeOutStep():
            return step.material
        case None | SplitStep() | MixStep() | ScrapeStep() | RestStep():
            return ""
        case ConsistencyStep() | TemperatureStep() | NoteStep():
            return ""
        case _ as forgotten:
            assert_never(forgotten)


def bounds_s(step: RunStep) -> tuple[int, int] | None:
    """Least and most seconds of a step that is timed (of a release, of each mixing in it); None for any other."""
    match step:
        case MixStep() | RestStep():
            return step.min_s, step.max_s
        case ReleaseStep():
            return step.mix_s, 3 * step.mix_s
        case AddStep() | SplitStep() | TakeOutStep() | ScrapeStep():
            return None
        case ConsistencyStep() | TemperatureStep() | NoteStep():
            return None
        case _ as forgotten:
            assert_never(forgotten)


def goes_on_alone(step: RunStep) -> bool:
    """Whether a step's time goes on while nobody is there and the machine sleeps; what a paddle does stands still."""
    match step:
        case RestStep():
            return True
        case AddStep() | ReleaseStep() | SplitStep() | TakeOutStep() | MixStep():
            return False
        case ScrapeStep() | ConsistencyStep() | TemperatureStep() | NoteStep():
            return False
        case _ as forgotten:
            assert_never(forgotten)
