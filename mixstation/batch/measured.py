"""A consistency that is measured: what a test can come out as, and how it is judged against the step's bounds."""

from fractions import Fraction
from typing import Final

from mixstation.batch.events import Verdict
from mixstation.batch.refusal import NoFigure, NoSpread, OutOfRound, RefusedError
from mixstation.recipe.model import ConsistencyStep
from mixstation.units.plausible import RANGES

_MOST_APART: Final = Fraction(1, 8)
"""Of their mean, as the two diameters of one spread. Source: Choice: ASTM C1611, from memory, has a slump flow done
again whose diameters are 50 mm apart, about a twelfth of it; a small spread is harder to read."""

_SPREAD: Final = RANGES["spread"]
# What one of the figure is in the unit of its range.
_FIGURES: Final = {"flow": (RANGES["flow"], Fraction(1, 100)), "rings": (RANGES["rings"], Fraction(1))}


def measured_figure(step: ConsistencyStep, figure: int) -> int:
    """A figure that the step's method can come out as.

    Raises:
        RefusedError: None does.
    """
    if step.method == "spread":
        diameter_mm(Fraction(figure))
    elif step.method != "trowel":
        can, one = _FIGURES[step.method]
        if not can.holds(figure * one):
            raise RefusedError(NoFigure(figure=figure, least=int(can.least / one), most=int(can.most / one)))
    return figure


def diameter_mm(across_mm: Fraction) -> Fraction:
    """A diameter of a spread.

    Raises:
        RefusedError: No spread has it.
    """
    if not _SPREAD.holds(across_mm):
        raise RefusedError(NoSpread(across_mm=across_mm, least_mm=_SPREAD.least, most_mm=_SPREAD.most))
    return across_mm


def spread_mm(across_um: tuple[int, ...]) -> int:
    """What a spread test comes to: the mean of two diameters at right angles, whole millimetres, half up.

    Raises:
        RefusedError: No spread has them, or they are too far apart for one.

    Source: ASTM C1856 with the measuring of C1437, from memory: the mean of the diameters.

    Example:
        >>> spread_mm((221_000, 230_000))
        226
    """
    first, other = (diameter_mm(Fraction(across, 1000)) for across in across_um)
    mean, apart = (first + other) / 2, abs(first - other)
    if apart > mean * _MOST_APART:
        raise RefusedError(OutOfRound(by_mm=apart))
    return int(mean + Fraction(1, 2))


def measured_verdict(step: ConsistencyStep, figure: int) -> Verdict:
    """A measured consistency against the step's own bounds."""
    if step.least is not None and figure < step.least:
        return "too-stiff"
    if step.most is not None and figure > step.most:
        return "too-loose"
    return "right"
