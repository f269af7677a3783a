"""A typed number that may be of the unit next to the one asked for: which was meant is asked, never guessed."""

from collections.abc import Callable

from mixstation.batch.commands import Command, Weight
from mixstation.frozen import dataclass
from mixstation.station.menu import Lines, Menu
from mixstation.station.scene import NEXT_UNIT, Scene, in_next_unit
from mixstation.station.talk import Do
from mixstation.units.parse import parse_mass_mg
from mixstation.units.show_mass import show_mass_in
from mixstation.wording import menu_lines as words


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What a typed weight may be.

    Attributes:
        like_mg: The mass on screen whose unit a bare number takes, or None.
        most_mg: More than this is never meant.
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
    """Which of two readings of a number was meant.

    Args:
        weight: As read.
        other: In the other unit.
        booked: What is to be done with the one picked.
    """

    def lines(scene: Scene) -> Lines:
        return tuple(
            (scene.speech.finely(each.mass_mg), Do(command=booked(each))) for each in (other, weight)
        )

    return Menu(ident="which-weight", ask=words.WHICH_WEIGHT, lines=lines)
