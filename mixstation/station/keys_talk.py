"""What the scale shows may come from one of its keys: the mixer says what it was."""

from mixstation.batch.commands import NoteKey, TrustUnit
from mixstation.batch.events import Weighing
from mixstation.station.scene import Scene
from mixstation.station.talk import Back, Do, Lines, Menu
from mixstation.wording import menu_lines as words


def zeroed(note: NoteKey, weighing: Weighing, scene: Scene) -> Menu:
    """It shows nothing at once: its tare or zero key, or what stood on it was lifted off."""
    counted = words.ZEROED.format(amount=scene.speech.mass(note.counted_mg))
    lines: Lines = ((words.LIFTED_OFF[weighing], Back()), (counted, Do(command=note)))

    def gone(now: Scene) -> bool:
        return now.zeroed is None

    return Menu(ident="zeroed", ask=words.WHAT_ZEROED, lines=lambda _: lines, over=gone)


def other_unit() -> Menu:
    """What it shows is as one unit to another: its unit key, or it was poured all the same."""
    lines: Lines = ((words.PRESS_UNIT, Back()), (words.UNIT_RIGHT, Do(command=TrustUnit())))

    def gone(now: Scene) -> bool:
        return now.missing != "other-unit"

    return Menu(ident="other-unit", ask=words.WHICH_UNIT, lines=lambda _: lines, over=gone)
