"""What every reader asks of a step: one table each, closed so that the type checker names it for a new kind."""

from typing import assert_never

from mixstation.frozen import Frozen
from mixstation.recipe import model


class TakeOutStep(Frozen):
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


RunStep = model.Step | TakeOutStep


def put_in_step(seq: int, place: int | str) -> str:
    """Key of a step that a way or a remedy put in: its own entry, and which of its steps, from 1."""
    return f"way{seq}.{place}"


def way_of_step(key: str) -> str:
    """What the keys of all steps of one way or remedy have in common; "" for a step of the recipe's own."""
    way, mark, _ = key.partition(".")
    return way if mark and way.startswith("way") and way[3:].isdigit() else ""


PLACE = "place"


def layer_placed(step: RunStep | None) -> str:
    """Name of the layer that is placed at a step, which taking it out put in; "" for any other step."""
    return step.say if isinstance(step, model.NoteStep) and step.key.endswith(f".{PLACE}") else ""


def material_of(step: RunStep | None) -> str:
    """Key of the one material a step brings in or takes out; "" where it moves none, or the mix."""
    match step:
        case model.AddStep() | model.ReleaseStep() | TakeOutStep():
            return step.material
        case None | model.SplitStep() | model.MixStep() | model.ScrapeStep() | model.RestStep():
            return ""
        case model.ConsistencyStep() | model.TemperatureStep() | model.NoteStep():
            return ""
        case _ as forgotten:
            assert_never(forgotten)


def bounds_s(step: RunStep) -> tuple[int, int] | None:
    """Least and most seconds of a step that is timed (of a release, of each mixing in it); None for any other."""
    match step:
        case model.MixStep() | model.RestStep():
            return step.min_s, step.max_s
        case model.ReleaseStep():
            return step.mix_s, 3 * step.mix_s
        case model.AddStep() | model.SplitStep() | TakeOutStep() | model.ScrapeStep():
            return None
        case model.ConsistencyStep() | model.TemperatureStep() | model.NoteStep():
            return None
        case _ as forgotten:
            assert_never(forgotten)


def goes_on_alone(step: RunStep) -> bool:
    """Whether a step's time goes on while nobody is there and the machine sleeps; what a paddle does stands still."""
    match step:
        case model.RestStep():
            return True
        case model.AddStep() | model.ReleaseStep() | model.SplitStep() | TakeOutStep() | model.MixStep():
            return False
        case model.ScrapeStep() | model.ConsistencyStep() | model.TemperatureStep() | model.NoteStep():
            return False
        case _ as forgotten:
            assert_never(forgotten)
