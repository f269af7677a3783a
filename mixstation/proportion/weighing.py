"""What a scale's display can and cannot tell: rounding, several weighings, and the legal error of class III.

Formulas hold in any one unit of mass; names say grams because doses that matter here are small.
"""

import math

from mixstation.proportion.error import ProportionError, need_not_negative, need_positive

CLASS_III_STEPS: tuple[tuple[float, float], ...] = ((500, 0.5), (2000, 1.0), (10_000, 1.5))
"""Load up to this many e, error up to this many e at first verification. Source: OIML R 76-1:2006, table 6, by way
of UK SI 1995/1907, schedule 2, section 4.1; the number of the table from memory."""

CLASS_III_IN_SERVICE_RATIO = 2.0
"""Error allowed in service over that at first verification. Source: OIML R 76-1:2006, section
3.5.2, by way of UK SI 1995/1907, schedule 2, section 4.2; the number of the section from memory."""

CLASS_III_LEAST_LOAD_COUNT = 20
"""Lower limit of minimum capacity, in e. Source: OIML R 76-1:2006, table 3, from memory."""


def reading_uncertainty_g(division_g: float) -> float:
    """Standard uncertainty of one reading from the display's rounding alone.

    Args:
        division_g: Smallest step of the display, above 0.

    Returns:
        Standard uncertainty (k = 1) in g.

    Raises:
        ProportionError: "not-finite", "not-positive".

    Source:
        JCGM 100:2008 (GUM), F.2.2.1, from memory: a rectangle as wide as the step.

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

    Returns:
        Standard uncertainty (k = 1) in g.

    Raises:
        ProportionError: "not-finite", "not-positive".

    Source:
        JCGM 100:2008 (GUM), 5.1.2 with F.2.2.1, from memory.

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

    Returns:
        Standard uncertainty (k = 1) in g.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive".

    Source:
        JCGM 100:2008 (GUM), 5.1.2, from memory.

    Example:
        >>> round(separate_additions_uncertainty_g(10, additions_count=4), 3)
        8.165
    """
    need_not_negative(additions_count=additions_count)
    return math.sqrt(additions_count) * net_uncertainty_g(division_g)


def class_iii_error_g(load_g: float, *, interval_g: float, in_service: bool = False) -> float:
    """Largest error allowed of a class III scale at a load.

    Args:
        load_g: Load, 0 to 10 000 intervals.
        interval_g: Verification interval e, above 0.
        in_service: Whether the scale is in use; else at first verification.

    Returns:
        Error either way in g.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive", "beyond-class-iii" for a load the class does not
            reach, with the load in e.

    Source:
        OIML R 76-1:2006, sections 3.5.1 (table 6) and 3.5.2, by way of UK SI 1995/1907, schedule 2, sections 4.1 and
        4.2; the numbers of the sections from memory.

    Example:
        >>> class_iii_error_g(12_000, interval_g=10)
        10.0
    """
    need_not_negative(load_g=load_g)
    need_positive(interval_g=interval_g)
    load_count = load_g / interval_g
    for most_count, error_count in CLASS_III_STEPS:
        if load_count <= most_count:
            return error_count * interval_g * (CLASS_III_IN_SERVICE_RATIO if in_service else 1)
    raise ProportionError("beyond-class-iii", load_count=load_count, most_count=CLASS_III_STEPS[-1][0])


def class_iii_least_load_g(interval_g: float) -> float:
    """Load below which a class III scale should not be trusted.

    Args:
        interval_g: Verification interval e, above 0.

    Returns:
        Minimum capacity in g.

    Raises:
        ProportionError: "not-finite", "not-positive".

    Source:
        OIML R 76-1:2006, section 3.2 (table 3), from memory.

    Example:
        >>> class_iii_least_load_g(5)
        100
    """
    need_positive(interval_g=interval_g)
    return CLASS_III_LEAST_LOAD_COUNT * interval_g
