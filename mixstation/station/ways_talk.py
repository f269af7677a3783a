"""The ways out, one line each; choosing one makes it a fact. And what happened, where the readings do not say."""

from mixstation.batch.commands import TakeWay
from mixstation.batch.reconcile import reconciliation_mg
from mixstation.batch.refusal import Plain
from mixstation.batch.way import Way
from mixstation.frozen import dataclass
from mixstation.station.menu import Lines, Menu
from mixstation.station.reasons import discard
from mixstation.station.scene import Scene
from mixstation.station.talk import BACK, Do, Open, Outcome, Refuse, chosen
from mixstation.station.trouble_menus import add_else, pick_entry, pick_swap, taken_out
from mixstation.station.view import Answer, Choice, Question
from mixstation.station.work_menu import pick_consistency, ran_out
from mixstation.wording import menu_lines as words
from mixstation.wording.ways import way_detail, way_line


@dataclass(frozen=True, slots=True, kw_only=True)
class PickWay:
    """Which way out is taken: those that can be first, then those that cannot with what bars them."""

    def question(self, scene: Scene) -> Question:
        """A line a way."""
        return Question(
            ident="pick-way",
            ask=words.WAYS_ASK,
            entry="whole",
            choices=_choices(scene),
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """The way, taken."""
        number = chosen(answer, _choices(scene))
        if number is None:
            return Refuse(why=Plain.NOT_A_CHOICE)
        way = _ways(scene)[number - 1]
        return Do(command=TakeWay(way=way, said=way_line(way, scene.run, scene.speech.units)))


def _ways(scene: Scene) -> tuple[Way, ...]:
    return (scene.ways or ())[:9]


def _choices(scene: Scene) -> tuple[Choice, ...]:
    return tuple(
        Choice(
            number=number,
            words=way_line(way, scene.run, scene.speech.units),
            detail=way_detail(way, scene.run, scene.speech.units),
        )
        for number, way in enumerate(_ways(scene), start=1)
    )


def trouble() -> Menu:
    """What happened: what the readings already say comes first."""

    def lines(scene: Scene) -> Lines:
        ways: Lines = ((words.WAYS_LINE, Open(talk=PickWay(), ways=True)),)
        heavier, lighter = _guessed(scene)
        told: Lines = (
            (heavier or words.UNRECORDED_LINE, Open(talk=add_else(words.UNRECORDED))),
            (lighter or words.OUT_LINE, Open(talk=taken_out())),
            (words.SWAPPED_LINE, Open(talk=pick_swap())),
            (words.WRONG_ENTRY_LINE, Open(talk=pick_entry())),
            (words.RAN_OUT_LINE, Open(talk=ran_out())),
            (words.CONSISTENCY_LINE, Open(talk=pick_consistency())),
        )
        # Numbers are learned by hand: every line keeps its own.
        return (*ways, *told, (words.DISCARD_LINE, Open(talk=discard())))

    return Menu(ident="trouble", ask=words.WHAT_HAPPENED, lines=lines)


def _guessed(scene: Scene) -> tuple[str, str]:
    """What a bucket that disagrees with the entries says: the lines for more in it, and for less."""
    off_mg = reconciliation_mg(scene.run)
    if off_mg is None:
        return "", ""
    amount = scene.speech.mass(abs(off_mg))
    if off_mg > 0:
        return words.HEAVIER_LINE.format(amount=amount), ""
    return "", words.LIGHTER_LINE.format(amount=amount)
