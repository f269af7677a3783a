"""Why: the usual reasons for what leaves the recipe's way, for an end, and for a batch thrown away."""

from collections.abc import Callable
from dataclasses import replace

from mixstation.batch.commands import Command, Discard, Finish
from mixstation.station.menu import Lines, Menu
from mixstation.station.scene import Scene
from mixstation.station.talk import Do, Open
from mixstation.wording import menu_lines as words


def reason(what: str, command: Callable[[str], Command]) -> Menu:
    """The usual reasons for something; the picked one completes the command."""
    lines: Lines = tuple((line, Do(command=command(line))) for line in words.REASONS[what])
    return Menu(ident=f"reason/{what}", ask=words.WHY[what], lines=lambda _: lines)


def concede() -> Menu:
    """Asked when a batch with standing flags is closed."""
    used = reason("concede", lambda why: Finish(concession=why))

    def lines(scene: Scene) -> Lines:
        return (*used.lines(scene), (words.DISCARD_LINE, Open(talk=discard())))

    return replace(used, lines=lines)


def discard() -> Menu:
    """Why the batch is thrown away."""
    return reason("discard", lambda why: Discard(reason=why))
