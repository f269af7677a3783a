"""Abrams (1918), Design of Concrete Mixtures: strength by water ratio, S = 14 000 / 7^x psi [mem].

x is water over cement by volume; a cubic foot of cement counts 94 lb and of water 62.4 lb, so by mass x is 1.506
of the water ratio, and +0.01 costs 1 − 7^(−0.01506) = 2.89 %, worked out, not printed. Formula from memory.
Tolerance: one point, half of the range we state, so that the case says the law lies within it.
"""

from mixstation.proportion.strength import strength_change_fractions
from tests.published.case import PublishedCase


def middle_cost_percent() -> float:
    return -sum(strength_change_fractions(0.01)) / 2 * 100


CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source="Abrams (1918) [mem]",
        place="strength formula, 28 days",
        what="cost of +0.01 in water ratio, against the middle of our range",
        expected=2.89,
        tolerance=1.0,
        unit="%",
        compute=middle_cost_percent,
        figure="worked out",
    ),
)
