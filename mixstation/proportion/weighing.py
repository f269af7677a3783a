"""What a scale's display can and cannot tell: rounding, several weighings, the smallest dose.

Formulas hold in any one unit of mass; names say grams because doses that matter here are small.
"""

import math

from mixstation.proportion.error import need_not_negative, need_positive

COVERAGE_RATIO = 2.0
"""Expanded over standard uncertainty, about 95 %. Source: JCGM 100:2008 (GUM), 6.3.3, from memory."""


def reading_uncertainty_g(division_g: float) -> float:
    """Standard uncertainty (k = 1) of one reading from the display's rounding alone, g.

    Args:
        division_g: Smallest step of the display, above 0.

    Source: JCGM 100:2008 (GUM), F.2.2.1, from memory: a rectangle as wide as the step.

    Example:
        >>> round(reading_uncertainty_g(10), 2)
        2.89
    """
    need_positive(division_g=division_g)
    return division_g / math.sqrt(12)


def net_uncertainty_g(division_g: float) -> float:
    """Standard uncertainty of a net, the difference of two readings; also of any number of doses weighed on one tare.

    Args:
        division_g: Smallest step of the display, above 0.

    Source: JCGM 100:2008 (GUM), 5.1.2 with F.2.2.1, from memory.

    Example:
        >>> round(net_uncertainty_g(10), 3)
        4.082
    """
    return math.sqrt(2) * reading_uncertainty_g(division_g)


def separate_additions_uncertainty_g(division_g: float, *, additions_count: int) -> float:
    """Standard uncertainty of a total made of separately tared additions.

    Weighed cumulatively on one tare the same total has `net_uncertainty_g`, however many additions there were.

    Args:
        division_g: Smallest step of the display, above 0.
        additions_count: Additions, 0 or more.

    Source: JCGM 100:2008 (GUM), 5.1.2, from memory.

    Example:
        >>> round(separate_additions_uncertainty_g(10, additions_count=4), 3)
        8.165
    """
    need_not_negative(additions_count=additions_count)
    return math.sqrt(additions_count) * net_uncertainty_g(division_g)


def smallest_dose_g(*, division_g: float, tolerance_fraction: float, additions_count: int = 1) -> float:
    """Smallest dose whose tolerance is as wide as the expanded uncertainty of its weighing, from rounding alone.

    A reading of exactly the target is then just surely inside.

    Args:
        division_g: Smallest step of the display, above 0.
        tolerance_fraction: Tolerance over the dose, its narrower side, above 0.
        additions_count: Separately tared additions that make up the dose, at least 1.

    Source: JCGM 106:2012 with JCGM 100:2008, from memory: 2·d·√(k/6)/τ, for one addition 0.8165 d/τ.

    Example:
        >>> round(smallest_dose_g(division_g=1, tolerance_fraction=0.05), 1)
        16.3
    """
    need_positive(tolerance_fraction=tolerance_fraction)
    uncertainty_g = separate_additions_uncertainty_g(division_g, additions_count=additions_count)
    return COVERAGE_RATIO * uncertainty_g / tolerance_fraction
