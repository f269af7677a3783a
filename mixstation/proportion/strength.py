"""What a change of water ratio does to strength: a range, said with "about", never one figure."""

from mixstation.proportion.error import need_between

LEAST_COST_FRACTION = 0.015
"""Least that +0.01 of water ratio costs. Source: see `strength_change_fractions`."""

MOST_COST_FRACTION = 0.035
"""Most that +0.01 of water ratio costs. Source: see `strength_change_fractions`."""

FARTHEST_CHANGE_RATIO = 0.20
"""Largest change of water ratio the range speaks for. Source: Choice: the laws behind it part company beyond."""


def strength_change_fractions(change_ratio: float) -> tuple[float, float]:
    """Indicative change of strength for a change of water over cement or binder.

    Args:
        change_ratio: Water ratio after less water ratio before, −0.20 to 0.20.

    Returns:
        Lower and upper end of the change of strength, as fractions: (−0.10, −0.04) reads "about 4 to 10 % weaker".

    Source:
        Abrams (1918) for the form; the range holds Abrams' own constants, Powers' gel/space ratio with Mills' limit
        of hydration at a water ratio of 0.35 to 0.60, all from memory, and a fit to the data of Yeh (1998).
        Indicative only.

    Example:
        >>> tuple(round(end, 3) for end in strength_change_fractions(0.01))
        (-0.035, -0.015)
    """
    need_between(-FARTHEST_CHANGE_RATIO, FARTHEST_CHANGE_RATIO, change_ratio=change_ratio)
    hundredths = change_ratio * 100
    ends = [(1 - cost) ** hundredths - 1 for cost in (LEAST_COST_FRACTION, MOST_COST_FRACTION)]
    return min(ends), max(ends)
