"""What a number typed far off may have been meant as: slips of a gloved hand, tried against what is asked for."""

import re
from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import pairwise

from mixstation.units.errors import UnitsError

# Choice: so near what is asked for a slip explains the number.
_NEAR = Fraction(1, 20)
_UNITS = ("kg", "g", "lb", "oz")
_MOST_SHOWN = 3
# Choice: so many times what is asked for, or so small a part of it, is a slip far more often than a pour.
WILD = 5


def is_wild(mass_mg: int, target_mg: int) -> bool:
    """Whether a weight is so far off what is asked for that its number is to be typed twice.

    Example:
        >>> is_wild(20_000, 4_000), is_wild(6_000, 4_000), is_wild(400, 4_000)
        (True, False, True)
    """
    return mass_mg >= WILD * target_mg or mass_mg * WILD <= target_mg


def meant(
    typed: str, mass_mg: int, target_mg: int, shown: str, read: Callable[[str], int]
) -> tuple[int, ...]:
    """Masses that may have been meant, the nearest to what is asked for first, at most three.

    Args:
        typed: As it was typed.
        mass_mg: What that reads as.
        target_mg: What is asked for, above 0.
        shown: What is asked for as it stands on the screen.
        read: Reads a mass, milligrams.

    Source: Choice: a decimal mark that slipped, another unit, a digit twice, left out or before its neighbour; far off
        by a power of ten, part of what is asked for is near enough.
    """
    found = {
        each
        for each in (*_slipped(mass_mg), *_misspelt(typed, shown, read))
        if each != mass_mg and abs(each - target_mg) <= target_mg * _NEAR
    }
    if not found and is_wild(mass_mg, target_mg):
        found = {each for each in _slipped(mass_mg) if target_mg <= each * WILD <= target_mg * WILD}
    return tuple(sorted(found, key=lambda each: abs(each - target_mg))[:_MOST_SHOWN])


def _slipped(mass_mg: int) -> Iterator[int]:
    for places in (1, 2, 3):
        yield mass_mg * 10**places
        yield round(Fraction(mass_mg, 10**places))


def _misspelt(typed: str, shown: str, read: Callable[[str], int]) -> Iterator[int]:
    found = re.match(r"[\d.,]+", typed)
    if found is None:
        return
    number, unit = found.group(), typed[found.end() :]
    spelt = {number + other for other in _UNITS}
    for place, digit in enumerate(number):
        before, after = number[:place], number[place + 1 :]
        spelt |= {before + after + unit, before + digit + digit + after + unit}
    digits = [place for place, digit in enumerate(number) if digit.isdigit()]
    for one, other in pairwise(digits):
        swapped = list(number)
        swapped[one], swapped[other] = number[other], number[one]
        spelt.add("".join(swapped) + unit)
    asked = re.match(r"[\d.,]+", shown)
    if asked is not None:
        # One of its digits was not struck: all of it was meant.
        one_less = {asked.group()[:place] + asked.group()[place + 1 :] for place in range(asked.end())}
        spelt |= {asked.group() + unit} if number in one_less else set()
    for each in spelt:
        try:
            yield read(each)
        except UnitsError:
            continue
