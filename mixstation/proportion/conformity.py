"""Whether a weighed dose lies within its tolerance, as far as the scale can tell."""

from math import erf, sqrt
from typing import Literal

from mixstation.proportion.error import ProportionError, need_finite, need_not_negative, need_positive
from mixstation.proportion.weighing import net_uncertainty_g

COVERAGE_RATIO = 2.0
"""Expanded over standard uncertainty, about 95 %. Source: JCGM 100:2008 (GUM), 6.3.3, from memory."""

Verdict = Literal["inside", "cannot-tell", "outside"]


def _below(steps: float) -> float:
    """Share of a normal distribution below so many standard deviations."""
    return (1 + erf(steps / sqrt(2))) / 2


def _need_bounds(min_g: float | None, max_g: float | None) -> None:
    """Refuse bounds that are missing, not finite or crossed."""
    if min_g is None and max_g is None:
        raise ProportionError("no-bounds")
    need_finite(min_g=min_g or 0.0, max_g=max_g or 0.0)
    if min_g is not None and max_g is not None and min_g > max_g:
        raise ProportionError("bounds-crossed", min_g=min_g, max_g=max_g)


def conformity_probability_fraction(
    value_g: float, *, uncertainty_g: float, min_g: float | None = None, max_g: float | None = None
) -> float:
    """Probability that the true mass lies within the bounds, given the reading.

    Args:
        value_g: Reading or net.
        uncertainty_g: Its standard uncertainty (k = 1), above 0.
        min_g: Lower bound; None for none.
        max_g: Upper bound; None for none. At least one bound.

    Returns:
        Probability, 0 to 1.

    Raises:
        ProportionError: "not-finite", "not-positive", "no-bounds", "bounds-crossed".

    Source:
        JCGM 106:2012, section 7, from memory.

    Example:
        >>> round(conformity_probability_fraction(50.2, uncertainty_g=0.4, min_g=49, max_g=51), 2)
        0.98
    """
    need_finite(value_g=value_g)
    need_positive(uncertainty_g=uncertainty_g)
    _need_bounds(min_g, max_g)
    above = 0.0 if min_g is None else _below((min_g - value_g) / uncertainty_g)
    below = 1.0 if max_g is None else _below((max_g - value_g) / uncertainty_g)
    return below - above


def verdict(
    value_g: float, *, uncertainty_g: float, min_g: float | None = None, max_g: float | None = None
) -> Verdict:
    """Whether a mass is inside its bounds, outside, or not to be told on this scale.

    Inside: the whole of value ± 2u lies within. Outside: none of it does.

    Args:
        value_g: Reading or net.
        uncertainty_g: Its standard uncertainty (k = 1), 0 or more.
        min_g: Lower bound; None for none.
        max_g: Upper bound; None for none. At least one bound.

    Returns:
        "inside", "cannot-tell" or "outside".

    Raises:
        ProportionError: "not-finite", "negative", "no-bounds", "bounds-crossed".

    Source:
        JCGM 106:2012, section 8.3, from memory: guarded acceptance and rejection with a guard band of 2u.

    Example:
        >>> verdict(50.8, uncertainty_g=0.4, min_g=49, max_g=51)
        'cannot-tell'
    """
    need_finite(value_g=value_g)
    need_not_negative(uncertainty_g=uncertainty_g)
    _need_bounds(min_g, max_g)
    half_g = COVERAGE_RATIO * uncertainty_g
    if (min_g is not None and value_g + half_g < min_g) or (max_g is not None and value_g - half_g > max_g):
        return "outside"
    if (min_g is not None and value_g - half_g < min_g) or (max_g is not None and value_g + half_g > max_g):
        return "cannot-tell"
    return "inside"


def smallest_dose_g(*, division_g: float, tolerance_fraction: float) -> float:
    """Smallest dose whose tolerance is as wide as the expanded uncertainty of a net, from rounding alone.

    A reading of exactly the target is then just "inside". A setter who also wants room to be off the target needs
    a larger dose.

    Args:
        division_g: Smallest step of the display, above 0.
        tolerance_fraction: Tolerance either way over the dose, above 0.

    Returns:
        Dose in g.

    Raises:
        ProportionError: "not-finite", "not-positive".

    Source:
        JCGM 106:2012 with JCGM 100:2008, from memory: 2·d/√6 = 0.8165 d.

    Example:
        >>> round(smallest_dose_g(division_g=1, tolerance_fraction=0.05), 1)
        16.3
    """
    need_positive(division_g=division_g, tolerance_fraction=tolerance_fraction)
    return COVERAGE_RATIO * net_uncertainty_g(division_g) / tolerance_fraction
