"""What stands on the scale is doubted: an empty vessel, what came onto it at once, a tub that came back lighter."""

from dataclasses import replace

from mixstation.batch.commands import Book, FillTub, TakeReference
from mixstation.batch.refusal import Asked, NothingOn, Plain, SetDown
from mixstation.batch.vessels import ZERO_DIVISIONS
from mixstation.station.scene import Scene
from mixstation.station.talk import Back, Do, Lines, Menu, Refuse
from mixstation.wording import menu_lines as words


def start_doubted(command: TakeReference, asked: Asked, why: str) -> Menu:
    """A start reading that is not what should stand there: it is put right, or it is so."""
    so = words.IT_IS_ON
    if isinstance(asked, NothingOn) and command.gross_mg <= ZERO_DIVISIONS * command.division_mg:
        so = words.SET_TO_ZERO[asked.weighing]
    as_it_is = Do(command=replace(command, confirmed=True))

    def lines(scene: Scene) -> Lines:
        """Nothing is gone on from that the scale does not show at this moment."""
        steady = scene.live is not None and scene.live.state == "steady"
        return (
            (words.PUT_RIGHT, Back()),
            (so, as_it_is if steady else Refuse(why=Plain.NOT_STEADY)),
        )

    def moved(scene: Scene) -> bool:
        return _shows_another(scene, command.gross_mg, command.division_mg)

    return Menu(ident="start-doubted", ask=why, lines=lines, over=moved)


def set_down(command: Book | FillTub | None, asked: SetDown, why: str) -> Menu:
    """What came onto the scale at once is the vessel, or it was poured in one go, for which the command is."""
    poured: Lines = ()
    if command is not None:
        poured_in = Do(command=replace(command, weight=replace(command.weight, at_once=False)))
        poured = ((words.POURED_AT_ONCE, poured_in),)

    def lines(scene: Scene) -> Lines:
        live, stood_mg = scene.live, scene.stood_mg
        vessel: Do | Refuse = Refuse(why=Plain.NOT_STEADY)
        if live is not None and live.state == "steady" and stood_mg is not None:
            division_mg = scene.advice.standing.division_mg
            begun = TakeReference(gross_mg=stood_mg, division_mg=division_mg, confirmed=True, instead=True)
            vessel = Do(command=begun)
        return ((words.SET_DOWN_LINES[asked.weighing], vessel), *poured)

    def gone(scene: Scene) -> bool:
        return scene.stood_mg is None

    return Menu(ident="set-down", ask=why, lines=lines, over=gone)


def tub_waits(command: TakeReference, why: str) -> Menu:
    """A tub comes onto the scale while a full one is not tipped in: it is another, or that one emptied out."""

    def lines(scene: Scene) -> Lines:
        another = Do(command=replace(command, full_tub="waits"))
        emptied = Do(command=replace(command, full_tub="emptied"))
        steady = scene.live is not None and scene.live.state == "steady"
        wait = Refuse(why=Plain.NOT_STEADY)
        return (
            (words.ANOTHER_TUB, another if steady else wait),
            (words.SAME_TUB, emptied if steady else wait),
        )

    def moved(scene: Scene) -> bool:
        return _shows_another(scene, command.gross_mg, command.division_mg)

    return Menu(ident="tub-waits", ask=why, lines=lines, over=moved)


def tub_lighter(command: Book, why: str) -> Menu:
    """A tub that came back lighter than it went on: old residue went in with it, or it is another tub."""
    lines: Lines = (
        (words.RESIDUE_WENT_IN, Do(command=replace(command, confirmed=True))),
        (words.OTHER_TUB, Back()),
    )
    return Menu(ident="tub-lighter", ask=why, lines=lambda _: lines)


def _shows_another(scene: Scene, gross_mg: int, division_mg: int) -> bool:
    """Whether the scale has come to rest at something else: it is looked at anew."""
    live = scene.live
    if live is None or live.mass_mg is None or live.state != "steady":
        return False
    return abs(live.mass_mg - gross_mg) > ZERO_DIVISIONS * division_mg
