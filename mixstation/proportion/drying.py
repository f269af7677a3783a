"""Drying of the fresh surface: how fast wind, dry air and warmth take its water."""

import math
from typing import Literal

from mixstation.frozen import Frozen
from mixstation.proportion.error import need_between, need_not_negative

THIN_SKIN_KG_M2_H = 0.5
"""Above this cover a thin skin at once; it bleeds little. Source: Common practice, no source."""

ANY_SURFACE_KG_M2_H = 1.0
"""Above this every fresh surface needs care. Source: ACI 305R."""

RATE_SPREAD_FRACTION = 0.40
"""A real surface dries this much slower or faster than the estimate. Source: Hover (2020), ACI SP-338, abstract."""

DryingRisk = Literal["low", "thin-skin", "any-surface"]


class Drying(Frozen):
    """An estimate of drying with its spread.

    Attributes:
        min_kg_m2_h: Slowest a real surface may dry.
        max_kg_m2_h: Fastest a real surface may dry.
    """

    rate_kg_m2_h: float
    min_kg_m2_h: float
    max_kg_m2_h: float
    risk: DryingRisk
    worst_risk: DryingRisk


def saturation_vapour_kpa(temperature_c: float) -> float:
    """Pressure of water vapour over a wet surface.

    Args:
        temperature_c: Surface or air temperature, −10 to 60 °C.

    Source: The Tetens form that goes with Menzel's formula in Uno (1998), ACI Materials Journal 95-M34.

    Example:
        >>> round(saturation_vapour_kpa(20), 2)
        2.34
    """
    need_between(-10, 60, temperature_c=temperature_c)
    return 0.61 * math.exp(17.3 * temperature_c / (237.3 + temperature_c))


def evaporation_kg_m2_h(
    *, surface_c: float, air_c: float, humidity_fraction: float, wind_kmh: float
) -> float:
    """Water that leaves the fresh surface, kg/m²/h; 0 where the air would wet it.

    Args:
        surface_c: Temperature of the mix at its surface, −10 to 60 °C.
        air_c: Air temperature, −10 to 60 °C.
        humidity_fraction: Relative humidity of the air, 0 to 1.
        wind_kmh: Wind over the surface, 0 to 100 km/h.

    Source: Menzel (1954), the formula behind the ACI 305R nomograph.

    Example:
        >>> round(evaporation_kg_m2_h(surface_c=22, air_c=20, humidity_fraction=0.5, wind_kmh=5), 2)
        0.26
    """
    need_between(0, 1, humidity_fraction=humidity_fraction)
    need_between(0, 100, wind_kmh=wind_kmh)
    pull_kpa = saturation_vapour_kpa(surface_c) - humidity_fraction * saturation_vapour_kpa(air_c)
    return max(0.0, 0.315 * pull_kpa * (0.253 + 0.060 * wind_kmh))


def drying_risk(rate_kg_m2_h: float) -> DryingRisk:
    """Class of a drying rate.

    Args:
        rate_kg_m2_h: Rate, 0 or more.

    Returns:
        "low", "thin-skin" (above 0.5: cover thin skins at once) or "any-surface" (above 1.0).

    Source: ACI 305R for 1.0; common practice for 0.5.

    Example:
        >>> drying_risk(0.7)
        'thin-skin'
    """
    need_not_negative(rate_kg_m2_h=rate_kg_m2_h)
    if rate_kg_m2_h > ANY_SURFACE_KG_M2_H:
        return "any-surface"
    return "thin-skin" if rate_kg_m2_h > THIN_SKIN_KG_M2_H else "low"


def drying(*, surface_c: float, air_c: float, humidity_fraction: float, wind_kmh: float) -> Drying:
    """Estimate drying, its spread and its class.

    It takes what `evaporation_kg_m2_h` takes.

    Source: Menzel (1954) as in ACI 305R; the spread is Hover (2020).
    """
    rate = evaporation_kg_m2_h(
        surface_c=surface_c, air_c=air_c, humidity_fraction=humidity_fraction, wind_kmh=wind_kmh
    )
    fastest = rate * (1 + RATE_SPREAD_FRACTION)
    return Drying(
        rate_kg_m2_h=rate,
        min_kg_m2_h=rate * (1 - RATE_SPREAD_FRACTION),
        max_kg_m2_h=fastest,
        risk=drying_risk(rate),
        worst_risk=drying_risk(fastest),
    )
