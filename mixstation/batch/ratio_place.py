"""Where a ratio stands against its band, and how its uncertainty is written."""

from fractions import Fraction
from math import ceil
from typing import Literal

RatioPlace = Literal["inside", "under", "over", "cannot-tell"]


def place_of_ratio(ratio: Fraction, expanded: float, least: Fraction, most: Fraction) -> RatioPlace:
    """Where a ratio is against its band, as far as its uncertainty `expanded` (k = 2) lets one tell.

    Source: Choice: told apart only where the whole of the uncertainty is on one side.
    """
    unsure = Fraction(expanded)
    if ratio - unsure > most:
        return "over"
    if ratio + unsure < least:
        return "under"
    return "cannot-tell" if ratio + unsure > most or ratio - unsure < least else "inside"


def expanded_up(expanded: float) -> Fraction:
    """An uncertainty taken up to the third decimal, so that it never claims more than is known.

    >>> expanded_up(0.0002)
    Fraction(1, 1000)
    """
    return Fraction(ceil(Fraction(expanded) * 1000), 1000)
