"""A typed weight that can be two things, another unit or a tub weighed back: what was meant is asked, never guessed."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from mixstation.batch.commands import Book, Command, Weight
from mixstation.batch.decide_weighing import TUB_SLACK_DIVISIONS
from mixstation.batch.events import TubFilled
from mixstation.batch.refusal import Plain
from mixstation.frozen import Frozen
from mixstation.station.scene import NEXT_UNIT, Scene, in_next_unit
from mixstation.station.talk import Do, Lines, Menu, Open, Outcome, Refuse
from mixstation.units.parse import parse_mass_mg
from mixstation.units.show_mass import show_mass_in
from mixstation.wording import menu_lines as words


class Expected(Frozen):
    """What a typed weight may be.

    Attributes:
        like_mg: The mass on screen whose unit a bare number takes, or None.
        fits: Whether a mass would raise no question.
    """

    like_mg: int | None
    most_mg: int
    fits: Callable[[int], bool]


def misread(typed: str, weight: Weight, scene: Scene, expected: Expected) -> Weight | None:
    """The same digits in the unit next to the one asked for, where that can be what is meant; else None.

    Source: Choice: where only that fits, or where only in that unit the scale shows so many places; "1030" under
        "1.030 kg" may be grams, "2.135" under "5 g" kilograms.
    """
    other = in_next_unit(typed, weight, scene, expected.like_mg)
    if other is None:
        return None
    if expected.fits(other.mass_mg) and not expected.fits(weight.mass_mg):
        return other
    unit = scene.unit(expected.like_mg)
    finer = not _shown(weight, unit) and _shown(other, NEXT_UNIT[unit])
    return other if finer and other.mass_mg <= expected.most_mg else None


def _shown(weight: Weight, unit: str) -> bool:
    """Whether the scale has places enough to show this weight in a unit."""
    number = show_mass_in(weight.mass_mg, unit, weight.division_mg).number
    return parse_mass_mg(number, unit) == weight.mass_mg


def which_weight(weight: Weight, other: Weight, booked: Callable[[Weight], Command]) -> Menu:
    """Which of two readings of a number was meant."""

    def lines(scene: Scene) -> Lines:
        return tuple(
            (scene.speech.finely(each.mass_mg), Do(command=booked(each))) for each in (other, weight)
        )

    return Menu(ident="which-weight", ask=words.WHICH_WEIGHT, lines=lines)


def tipped(scene: Scene) -> Outcome:
    """What stuck to the tub is weighed back on the scale and taken off."""
    live, tub, empty_mg = scene.live, scene.run.tub, _empty_tub_mg(scene)
    if live is None or live.mass_mg is None or tub is None or empty_mg is None:
        return Refuse(why=Plain.NO_READING)
    residue_mg = live.mass_mg - empty_mg
    if residue_mg * 2 > tub.mass_mg:
        return Refuse(why=Plain.TUB_STILL_FULL)
    if -residue_mg > _lost_at_most_mg(tub, empty_mg):
        return Refuse(why=Plain.TUB_NOT_ON)
    weight = Weight(mass_mg=0, source="scale", shown=tub.shown, division_mg=tub.division_mg, weighing="tub")
    return Do(command=Book(weight=_less(tub, weight, residue_mg)))


def typed_back(typed: str, weight: Weight, scene: Scene) -> Outcome:
    """A typed number is what went in, unless it can be the emptied tub or what stuck to it: then it is asked.

    Source: Choice: more than half of what was filled does not stay in a tub that was tipped.
    """
    tub = scene.run.tub
    assert tub is not None
    other = in_next_unit(typed, weight, scene, scene.target_mg)
    found = tuple(_meanings(scene, tub, weight))
    if not found and other is not None:
        found = tuple(_meanings(scene, tub, other))
    if all(meant.residue_mg is None for _, meant in found):
        return Do(command=Book(weight=weight))
    lines: Lines = tuple(
        (line.format(amount=scene.speech.mass(meant.mass_mg)), Do(command=Book(weight=meant)))
        for line, meant in found
    )
    ask = words.WHICH_OF_TUB.format(typed=weight.shown, filled=scene.speech.mass(tub.mass_mg))
    return Open(talk=Menu(ident="which-of-tub", ask=ask, lines=lambda _: lines))


def _meanings(scene: Scene, tub: TubFilled, weight: Weight) -> Iterator[tuple[str, Weight]]:
    """What a typed mass can be, each with what then went in; none where it fits nothing."""
    slack_mg, empty_mg = TUB_SLACK_DIVISIONS * tub.division_mg, _empty_tub_mg(scene)
    if empty_mg is not None and empty_mg > slack_mg:
        residue_mg = weight.mass_mg - empty_mg
        # Less than was filled in is rather what went in than a tub that lost old residue.
        more_than_filled = weight.mass_mg > tub.mass_mg + slack_mg
        lost_mg = _lost_at_most_mg(tub, empty_mg) if more_than_filled else slack_mg
        if -lost_mg <= residue_mg and residue_mg * 2 <= tub.mass_mg:
            yield words.TUB_WEIGHED, _less(tub, weight, residue_mg)
            if residue_mg < -slack_mg:
                yield words.TUB_WENT_IN, weight
    if weight.mass_mg >= 0 and weight.mass_mg * 2 <= tub.mass_mg:
        yield words.TUB_STUCK, _less(tub, weight, weight.mass_mg)
    if 0 < weight.mass_mg <= tub.mass_mg + slack_mg:
        yield words.TUB_WENT_IN, weight


def _lost_at_most_mg(tub: TubFilled, empty_mg: int) -> int:
    """How much lighter than before a tub may come back for it to be that tub.

    Source: Choice: old residue is less than a quarter of the tub, or of what it was filled with.
    """
    return max(empty_mg, tub.mass_mg) // 4


def _less(tub: TubFilled, weight: Weight, residue_mg: int) -> Weight:
    return replace(weight, mass_mg=tub.mass_mg - residue_mg, residue_mg=residue_mg)


def _empty_tub_mg(scene: Scene) -> int | None:
    """What the scale showed with the empty tub on it, or None where it was never read."""
    step = scene.advice.standing.step
    reference = None if step is None else scene.run.references.get(step.key)
    return None if reference is None else reference.gross_mg
