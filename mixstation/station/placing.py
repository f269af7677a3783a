"""When the last of the mix was placed: asked with the closing of the batch, for a piece cures from then on."""

from mixstation.batch.commands import Finish
from mixstation.batch.placed import LONGEST_S
from mixstation.batch.refusal import Plain
from mixstation.station.scene import Scene
from mixstation.station.talk import Do, Outcome, Refuse
from mixstation.station.view import Answer


def closed(answer: Answer, scene: Scene) -> Outcome:
    """Enter alone says that it was placed just now, a number how many minutes ago."""
    typed = answer.typed.strip()
    if not typed:
        return Do(command=Finish(placed_before_s=0 if may_be_now(scene) else None))
    if not (typed.isascii() and typed.isdigit() and len(typed) <= 4):
        return Refuse(why=Plain.NOT_WHOLE)
    return Do(command=Finish(placed_before_s=int(typed) * 60))


def may_be_now(scene: Scene) -> bool:
    """Whether somebody may still be placing it: whoever comes back the next day has not placed it just then."""
    since_s = scene.advice.working.since_s
    return since_s is None or since_s <= LONGEST_S
