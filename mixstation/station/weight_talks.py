"""A weight that can be read in more than one way: what it means is asked, never guessed."""

from dataclasses import replace

from mixstation.batch.advice import Standing
from mixstation.batch.commands import TakeReference
from mixstation.batch.reconcile import allowed_mg
from mixstation.batch.refusal import Plain
from mixstation.station.menu import Lines, Menu
from mixstation.station.scene import Scene
from mixstation.station.talk import Do, Open, Refuse
from mixstation.station.trouble_menus import add_else, taken_out
from mixstation.wording import menu_lines as words
from mixstation.wording.asks import TOO_COARSE_LINES
from mixstation.wording.asks import too_coarse as too_coarse_line
from mixstation.wording.words import Speech


def bucket_differs(command: TakeReference, expected_mg: int, why: str) -> Menu:
    """What it means that the bucket is not as heavy as the entries say."""
    heavier = command.gross_mg > expected_mg
    counted: Lines = (
        (words.PART_OF_DOSE, Do(command=replace(command, gross_mg=expected_mg, confirmed=True))),
    )
    entered: Lines = ((words.NOT_ENTERED, Open(talk=add_else(words.UNRECORDED))),)
    as_it_is = words.NOTHING_IN if heavier else words.NOTHING_OUT
    rest: Lines = ((as_it_is, Do(command=replace(command, confirmed=True))),)
    lost: Lines = ((words.OUT_LINE, Open(talk=taken_out())),)
    standing = (*counted, *rest, *entered) if heavier else (*rest, *lost)

    def lines(scene: Scene) -> Lines:
        """Nothing is gone on from that the scale does not show at this moment."""
        live = scene.live
        if live is None or live.state == "steady":
            return standing
        wait = Refuse(why=Plain.NOT_STEADY)
        return tuple((line, wait if isinstance(outcome, Do) else outcome) for line, outcome in standing)

    def moved(scene: Scene) -> bool:
        """The scale shows something else by now: it is looked at anew."""
        live = scene.live
        if live is None or live.mass_mg is None or live.state != "steady":
            return False
        return abs(live.mass_mg - command.gross_mg) > allowed_mg(scene.run.in_bucket_mg, live.division_mg)

    return Menu(ident="bucket-differs", ask=why, lines=lines, over=moved)


def too_coarse(standing: Standing, speech: Speech) -> Menu:
    """A dose for another scale, poured by this one all the same: what stands on it is looked at once that is said."""

    def lines(scene: Scene) -> Lines:
        live = scene.live
        outcome: Do | Refuse = Refuse(why=Plain.NOT_STEADY)
        if live is None or live.mass_mg is None:
            outcome = Refuse(why=Plain.NO_READING)
        elif live.state == "steady":
            outcome = Do(
                command=TakeReference(gross_mg=live.mass_mg, division_mg=live.division_mg, coarse=True)
            )
        return ((TOO_COARSE_LINES[scene.run.weighing], outcome),)

    def other(scene: Scene) -> bool:
        return scene.advice.standing.apart is None

    why = too_coarse_line(standing, speech)
    return Menu(ident="too-coarse", ask=why, lines=lines, over=other)
