"""ASTM C138, density and yield: published worked examples of the method [mem].

The formulas are the standard's. The examples were taken over from teaching material on it whose titles were not kept;
they were not read again in print. Tolerance: half the last printed figure.
"""

from mixstation.proportion.density import relative_yield_ratio, wet_density_kg_m3, yield_l
from tests.published.case import PublishedCase

SOURCE = "ASTM C138, published worked example [mem]"
POUND_KG = 0.45359237
CUBIC_FOOT_L = 28.316846592
POUND_PER_CUBIC_FOOT_KG_M3 = POUND_KG / CUBIC_FOOT_L * 1000


def density_lb_ft3() -> float:
    density_kg_m3 = wet_density_kg_m3((54.1 - 18.6) * POUND_KG, volume_l=0.250 * CUBIC_FOOT_L)
    return density_kg_m3 / POUND_PER_CUBIC_FOOT_KG_M3


def yield_ft3() -> float:
    return yield_l(3886 * POUND_KG, density_kg_m3=145.0 * POUND_PER_CUBIC_FOOT_KG_M3) / CUBIC_FOOT_L


CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source=SOURCE,
        place="density",
        what="54.1 lb full, 18.6 lb empty, 0.250 ft³",
        expected=142.0,
        tolerance=0.05,
        unit="lb/ft³",
        compute=density_lb_ft3,
    ),
    PublishedCase(
        source=SOURCE,
        place="yield",
        what="3886 lb at 145.0 lb/ft³",
        expected=26.80,
        tolerance=0.005,
        unit="ft³",
        compute=yield_ft3,
    ),
    PublishedCase(
        source=SOURCE,
        place="relative yield",
        what="the same of 27 ft³",
        expected=0.993,
        tolerance=0.0005,
        unit="",
        compute=lambda: relative_yield_ratio(made_l=yield_ft3(), designed_l=27),
    ),
)
