"""JCGM 106:2012, the role of measurement uncertainty in conformity assessment: its examples in section 7 [mem].

One bound: breakdown voltage of a Zener diode, −5.47 V with u = 0.05 V, at most −5.40 V. Two bounds: viscosity of a
motor oil, 13.6 mm²/s with u = 1.8 mm²/s, between 12.5 and 16.3. Read from memory. Tolerance: half the last printed
figure; 0.01 for the second, whose print is a difference of two rounded table values. The dose of 35 g is worked out by
the same formula, apart from this program.
"""

from mixstation.proportion.conformity import conformity_probability_fraction
from mixstation.proportion.weighing import net_uncertainty_g
from tests.published.case import PublishedCase

SOURCE = "JCGM 106:2012 [mem]"

CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source=SOURCE,
        place="section 7, one-sided example",
        what="Zener diode, −5.47 V, u 0.05 V, at most −5.40 V",
        expected=0.92,
        tolerance=0.005,
        unit="",
        compute=lambda: conformity_probability_fraction(-5.47, uncertainty_g=0.05, max_g=-5.40),
    ),
    PublishedCase(
        source=SOURCE,
        place="section 7, two-sided example",
        what="motor oil, 13.6 mm²/s, u 1.8, from 12.5 to 16.3",
        expected=0.66,
        tolerance=0.01,
        unit="",
        compute=lambda: conformity_probability_fraction(13.6, uncertainty_g=1.8, min_g=12.5, max_g=16.3),
    ),
    PublishedCase(
        source=SOURCE,
        place="section 7, formula",
        what="36 g for 35 g ± 3 % on a division of 1 g",
        expected=0.549,
        tolerance=0.0005,
        unit="",
        compute=lambda: conformity_probability_fraction(
            36, uncertainty_g=net_uncertainty_g(1), min_g=35 * 0.97, max_g=35 * 1.03
        ),
        figure="worked out",
    ),
)
