"""Concrete Compressive Strength, I-Cheng Yeh (1998), UCI repository, 1030 mixes [data].

The file lies in data/, its origin beside it; nothing here is printed, all is worked out of it.
Each mix states what is in one cubic metre; with densities of 3150 (cement), 2900 (slag), 2300 (fly ash), 1000
(water), 1100 (superplasticiser) and 2650 kg/m³ (aggregates) the absolute volumes must come to about one cubic
metre less air. Tolerance: 0.0005 on the mean of volumes, half the last figure it is stated to; none on counts. On
strength: the slope of its logarithm against water over binder at 28 days, within half of the range we state.
"""

import csv
import math
from functools import cache
from pathlib import Path
from statistics import fmean, linear_regression

from mixstation.proportion.strength import strength_change_fractions
from mixstation.proportion.volume import absolute_volume_l
from tests.published.case import PublishedCase

SOURCE = "Yeh (1998), UCI concrete data [data]"
FILE = Path(__file__).parent / "data" / "concrete_yeh.csv"
DENSITIES_KG_M3 = {
    "cement_kg": 3150,
    "slag_kg": 2900,
    "fly_ash_kg": 2300,
    "water_kg": 1000,
    "superplasticiser_kg": 1100,
    "coarse_kg": 2650,
    "fine_kg": 2650,
}


@cache
def mixes() -> tuple[dict[str, float], ...]:
    with FILE.open(encoding="utf-8", newline="") as file:
        return tuple({name: float(text) for name, text in row.items()} for row in csv.DictReader(file))


def volumes_m3() -> list[float]:
    return [
        sum(absolute_volume_l(mix[name], density_kg_m3=each) for name, each in DENSITIES_KG_M3.items()) / 1000
        for mix in mixes()
    ]


def fitted_cost_percent() -> float:
    """What +0.01 in water over binder costs at 28 days."""
    month = [mix for mix in mixes() if mix["age_days"] == 28]
    ratios = [mix["water_kg"] / (mix["cement_kg"] + mix["slag_kg"] + mix["fly_ash_kg"]) for mix in month]
    slope, _ = linear_regression(ratios, [math.log(mix["strength_mpa"]) for mix in month])
    return (1 - math.exp(0.01 * slope)) * 100


CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source=SOURCE,
        place="all rows",
        what="mean of absolute volumes, no air",
        expected=0.9846,
        tolerance=0.0005,
        unit="m³",
        compute=lambda: fmean(volumes_m3()),
        figure="worked out",
    ),
    PublishedCase(
        source=SOURCE,
        place="all rows",
        what="mixes whose volume lies outside 0.93 to 1.03 m³",
        expected=0,
        tolerance=0,
        unit="",
        compute=lambda: sum(not 0.93 <= volume_m3 <= 1.03 for volume_m3 in volumes_m3()),
        figure="worked out",
    ),
    PublishedCase(
        source=SOURCE,
        place="rows of 28 days",
        what="middle of our range for +0.01 in water ratio, less the fitted cost",
        expected=0,
        tolerance=1.0,
        unit="%",
        compute=lambda: -sum(strength_change_fractions(0.01)) / 2 * 100 - fitted_cost_percent(),
        figure="worked out",
    ),
)
