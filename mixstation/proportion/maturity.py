"""How temperature speeds or slows setting: rates, maturity, equivalent age and working time as a band.

Two published rate functions are kept side by side because they part company away from 20 °C; what they leave
between them is the least that should be shown.
"""

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

from mixstation.proportion.error import (
    HoursNotRising,
    ProportionError,
    need_between,
    need_finite,
    need_not_negative,
)

GAS_J_MOL_K = 8.314462618
"""Molar gas constant. Source: CODATA 2018, exact."""

ZERO_C_K = 273.15
"""0 °C in kelvin. Source: Definition."""

REFERENCE_C = 20.0
"""Temperature at which the rate is 1. Source: Definition."""

C1074_Q_K = 5000.0
"""Activation energy over gas constant, ordinary cement, no admixture. Source: ASTM C1074, appendix, from memory."""

WORKING_SPREAD_FRACTION = 0.20
"""Added either side of what the two rate functions give for working time. Source: Choice: so that the workshop rule
"half for each 11 °C warmer" stays inside the band from 5 to 40 °C; plasticiser and polymer retard besides."""

Rate = Callable[[float], float]


def energy_rate_ratio(temperature_c: float) -> float:
    """Rate of setting over that at 20 °C, with an activation energy that grows in the cold.

    E is 33.5 kJ/mol from 20 °C up, and 1.47 kJ/mol more for each degree below.

    Args:
        temperature_c: Mix temperature, −10 to 80 °C.

    Source: Freiesleben Hansen and Pedersen (1977), from memory.

    Example:
        >>> round(energy_rate_ratio(30), 3)
        1.574
    """
    need_between(-10, 80, temperature_c=temperature_c)
    energy_j_mol = 33_500 + 1_470 * max(0.0, REFERENCE_C - temperature_c)
    return math.exp(-energy_j_mol / GAS_J_MOL_K * _inverse_kelvin_step(temperature_c))


def constant_rate_ratio(temperature_c: float) -> float:
    """Rate of setting over that at 20 °C, with one activation energy throughout.

    Args:
        temperature_c: Mix temperature, −10 to 80 °C.

    Source: ASTM C1074, equivalent age, Q = 5000 K, from memory.

    Example:
        >>> round(constant_rate_ratio(30), 3)
        1.755
    """
    need_between(-10, 80, temperature_c=temperature_c)
    return math.exp(-C1074_Q_K * _inverse_kelvin_step(temperature_c))


def _inverse_kelvin_step(temperature_c: float) -> float:
    """1/T − 1/Ts in 1/K."""
    return 1 / (ZERO_C_K + temperature_c) - 1 / (ZERO_C_K + REFERENCE_C)


def _intervals(history: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Hours and mean temperature of each interval of a history."""
    for hour_h, temperature_c in history:
        need_not_negative(hour_h=hour_h)
        need_between(-10, 80, temperature_c=temperature_c)
    intervals = []
    for (from_h, from_c), (to_h, to_c) in pairwise(history):
        if to_h <= from_h:
            raise ProportionError(HoursNotRising(from_h=from_h, to_h=to_h))
        intervals.append((to_h - from_h, (from_c + to_c) / 2))
    return intervals


def equivalent_age_h(history: Sequence[tuple[float, float]], *, rate: Rate = energy_rate_ratio) -> float:
    """Hours at 20 °C that do as much as a history of temperatures; 0 for fewer than two points.

    Args:
        history: Pairs of hour and °C, hours rising; each interval counts at its mean temperature.
        rate: `energy_rate_ratio` or `constant_rate_ratio`.

    Raises:
        ProportionError: "not-finite", "negative", "out-of-range", "hours-not-rising".

    Source: ASTM C1074, equivalent age, from memory.

    Example:
        >>> equivalent_age_h([(0, 20), (6, 20)])
        6.0
    """
    return math.fsum(hours * rate(mean_c) for hours, mean_c in _intervals(history))


def nurse_saul_c_h(history: Sequence[tuple[float, float]], *, datum_c: float) -> float:
    """Temperature–time factor of a history; time below the datum counts nothing.

    Args:
        history: Pairs of hour and °C, hours rising; each interval counts at its mean temperature.
        datum_c: Temperature at which setting stops, commonly 0 or −10 °C.

    Raises:
        ProportionError: "not-finite", "negative", "out-of-range", "hours-not-rising".

    Source: ASTM C1074, temperature–time factor (Nurse–Saul), from memory.

    Example:
        >>> nurse_saul_c_h([(0, 20), (10, 20)], datum_c=0)
        200.0
    """
    need_finite(datum_c=datum_c)
    return math.fsum(hours * max(0.0, mean_c - datum_c) for hours, mean_c in _intervals(history))


def working_minutes_band(label_minutes: float, at_c: float, mix_c: float) -> tuple[float, float]:
    """Working time to expect at the mix's temperature, as a band.

    Args:
        label_minutes: Working time stated, 0 or more.
        at_c: Temperature it is stated for, −10 to 80 °C.
        mix_c: Temperature of the mix, −10 to 80 °C.

    Source: Both rate functions of this module, widened by `WORKING_SPREAD_FRACTION` (Choice: see there).

    Example:
        >>> tuple(round(minutes) for minutes in working_minutes_band(30, 20, 30))
        (14, 23)
    """
    need_not_negative(label_minutes=label_minutes)
    minutes = [label_minutes * rate(at_c) / rate(mix_c) for rate in (energy_rate_ratio, constant_rate_ratio)]
    return (min(minutes) * (1 - WORKING_SPREAD_FRACTION), max(minutes) * (1 + WORKING_SPREAD_FRACTION))
