"""What the trouble menu opens: something beside the recipe went in, came out, or was booked wrongly."""

from mixstation.batch.commands import Discard, SwapMaterial, TakeBack
from mixstation.batch.events import WeightRecorded
from mixstation.station.menu import Lines, Menu
from mixstation.station.reasons import reason
from mixstation.station.scene import Scene
from mixstation.station.talk import Back, Do, Open
from mixstation.station.typed_talks import Amount, TypeNote
from mixstation.wording import menu_lines as words
from mixstation.wording.entry_lines import entry_line, takes_back


def add_else(why: str = words.ADDED_BESIDE) -> Menu:
    """Which material went in outside the step at hand."""

    def lines(scene: Scene) -> Lines:
        known: Lines = tuple(
            (material.name, Open(talk=Amount(what="added", material=material.key, reason=why)))
            for material in scene.run.recipe.materials
        )
        return (*known, (words.FOREIGN_LINE, Open(talk=_foreign())))

    return Menu(ident="add-else", ask=words.WHICH_ADDED, lines=lines)


def taken_out() -> Menu:
    """What came out: a portion of the mix, or one material unmixed."""

    def lines(scene: Scene) -> Lines:
        names = {"": words.SOME_MIX} | {
            key: scene.run.recipe.material(key).name for key, mass in scene.run.content.items() if mass > 0
        }
        return tuple(
            (name, Open(talk=Amount(what="out", material=key, reason=words.CAME_OUT)))
            for key, name in names.items()
        )

    return Menu(ident="taken-out", ask=words.WHICH_OUT, lines=lines)


def pick_entry() -> Menu:
    """Which entry is taken back: the newest first; then why."""

    def lines(scene: Scene) -> Lines:
        return tuple(
            (entry_line(scene.run, entry, scene.speech), Open(talk=_why_back(entry.seq)))
            for entry in takes_back(scene.run)
        )

    return Menu(ident="pick-entry", ask=words.WHICH_ENTRY, lines=lines, none=words.NOTHING_TO_TAKE_BACK)


def pick_swap() -> Menu:
    """Which weight was of another material than it was booked as, then of which; or that nobody knows how much."""

    def lines(scene: Scene) -> Lines:
        weights: Lines = tuple(
            (
                entry_line(scene.run, entry, scene.speech),
                Open(talk=_swapped_to(entry.seq, entry.fact.material)),
            )
            for entry in reversed(scene.run.live)
            if isinstance(entry.fact, WeightRecorded)
        )
        return ((words.UNKNOWN_LINE, Open(talk=_unknown())), *weights)

    return Menu(ident="pick-swap", ask=words.WHICH_SWAPPED, lines=lines)


def _foreign() -> Menu:
    lines: Lines = (
        (words.DISCARD_LINE, Do(command=Discard(reason=words.FOREIGN_DISCARD))),
        (words.NOTE_LINE, Open(talk=TypeNote())),
        (words.FOREIGN_BACK, Back()),
    )
    return Menu(ident="foreign-material", ask=words.FOREIGN, lines=lambda _: lines)


def _unknown() -> Menu:
    lines: Lines = (
        (words.DISCARD_LINE, Do(command=Discard(reason=words.UNKNOWN_DISCARD))),
        (words.UNKNOWN_BACK, Back()),
    )
    return Menu(ident="unknown-material", ask=words.UNKNOWN, lines=lambda _: lines)


def _swapped_to(seq: int, booked: str) -> Menu:
    def lines(scene: Scene) -> Lines:
        known: Lines = tuple(
            (material.name, Do(command=SwapMaterial(seq=seq, material=material.key, reason=words.SWAPPED)))
            for material in scene.run.recipe.materials
            if material.key != booked
        )
        return (*known, (words.FOREIGN_LINE, Open(talk=_foreign())))

    return Menu(ident=f"swapped-to/{seq}", ask=words.SWAPPED_TO, lines=lines)


def _why_back(seq: int) -> Menu:
    return reason("take-back", lambda why: TakeBack(seq=seq, reason=why))
