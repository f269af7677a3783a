"""A number typed far off what is asked for: what was probably meant is offered, and where the batch would end."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from mixstation.batch.commands import Book, BookExtra, Weight
from mixstation.batch.refusal import FarOver, FarOverPlan, FarUnder, OverCeiling, Plain
from mixstation.batch.targets import project
from mixstation.frozen import Frozen
from mixstation.station.meant import is_wild, meant
from mixstation.station.scene import Scene
from mixstation.station.talk import BACK, Back, Do, Lines, Menu, Open, Outcome, Refuse
from mixstation.station.view import Answer, Question
from mixstation.units.parse import parse_mass_mg
from mixstation.units.show import show_ratio
from mixstation.wording import far_off_lines as words

Far = FarOver | FarUnder | FarOverPlan


def far_off(command: Book | BookExtra, asked: Far, why: str, scene: Scene) -> Menu | None:
    """What was meant by it; None where nothing else fits and it is near enough to be so."""
    weight, target_mg = command.weight, _target_mg(asked, command.weight)
    if weight.source == "scale":
        return None
    if target_mg <= 0:
        # Enough is in: it is measured by what was planned in all.
        dosing = scene.advice.standing.dosing
        key = (
            command.material
            if isinstance(command, BookExtra)
            else dosing.material
            if dosing is not None
            else ""
        )
        target_mg = round(scene.advice.standing.projection.totals.get(key, Fraction(0)))
    if target_mg <= 0:
        return None
    unit = scene.unit(target_mg)

    def read(text: str) -> int:
        return parse_mass_mg(text, unit, comma_is_decimal=scene.decimal_comma)

    found = meant(weight.shown, weight.mass_mg, target_mg, scene.at_hand.mass(target_mg), read)
    wild = is_wild(weight.mass_mg, target_mg)
    if not found and not wild:
        return None
    as_typed = Do(command=replace(command, confirmed=True))
    typed = scene.speech.finely(weight.mass_mg)
    again: Outcome = Open(talk=TypeAgain(command=command, read=read)) if wild else as_typed
    lines: Lines = (
        *(
            (words.MEANT.format(amount=scene.at_hand.mass(each)), Do(command=_with(command, each)))
            for each in found
        ),
        ((words.AGAIN if wild else words.ALL_THE_SAME).format(amount=typed), again),
        (words.ANEW, Back()),
    )
    said = any(isinstance(each, OverCeiling) for each in asked.also)
    ends = "" if said else _ends(command, scene)
    ask = f"{why} {words.ENDS.format(ratio=ends)}" if ends else why
    return Menu(ident="far-off", ask=ask, lines=lambda _: lines)


class TypeAgain(Frozen):
    """So wild a number counts only once it was typed twice."""

    command: Book | BookExtra
    read: Callable[[str], int]

    def question(self, scene: Scene) -> Question:
        """The number once more."""
        return Question(
            ident="type-again",
            ask=words.TYPE_AGAIN.format(amount=scene.speech.finely(self.command.weight.mass_mg)),
            entry="mass",
            unit_word=scene.unit_word(scene.asked_mg),
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """The same, or nothing.

        Raises:
            UnitsError: It cannot be read.
        """
        if not answer.typed.strip():
            return Refuse(why=Plain.NOTHING_TYPED)
        if self.read(answer.typed) != self.command.weight.mass_mg:
            return Refuse(why=Plain.NOT_THE_SAME)
        return Do(command=replace(self.command, confirmed=True))


def _target_mg(asked: Far, weight: Weight) -> int:
    """What is asked for; beside the steps what there is still room for."""
    if isinstance(asked, FarOverPlan):
        return asked.planned_mg - (asked.then_mg - weight.mass_mg)
    return asked.target_mg


def _with(command: Book | BookExtra, mass_mg: int) -> Book | BookExtra:
    return replace(command, weight=replace(command.weight, mass_mg=mass_mg))


def _ends(command: Book | BookExtra, scene: Scene) -> str:
    """The water ratio that the batch would end at with it; "" where something is taken out."""
    standing, run = scene.advice.standing, scene.run
    key = standing.dosing.material if standing.dosing is not None else ""
    if isinstance(command, BookExtra):
        key = command.material
    if not key or (scene.takes_out and isinstance(command, Book)):
        return ""
    full = {**run.content, key: run.content[key] + Fraction(command.weight.mass_mg)}
    ratio = project(replace(run, content=full), standing.division_mg).ratio
    return "" if ratio is None else show_ratio(ratio)
