"""Density: what a filled measure tells of yield and air, and the density of water."""

from mixstation.proportion.error import (
    OverAirFree,
    ProportionError,
    need_between,
    need_not_negative,
    need_positive,
)


def wet_density_kg_m3(mass_kg: float, *, volume_l: float) -> float:
    """Density of the fresh mix that fills a volume: a filled measure, or a batch by absolute volume.

    Args:
        mass_kg: Net mass, above 0.
        volume_l: Volume it fills, above 0.

    Source: ASTM C138, density, from memory.

    Example:
        >>> wet_density_kg_m3(4.2, volume_l=2.0)
        2100.0
    """
    need_positive(mass_kg=mass_kg, volume_l=volume_l)
    return mass_kg / volume_l * 1000


def yield_l(mass_kg: float, *, density_kg_m3: float) -> float:
    """Volume a batch makes, from its mass and measured density.

    Args:
        mass_kg: All that went in, 0 or more.
        density_kg_m3: Measured density of the fresh mix, above 0.

    Source: ASTM C138, yield, from memory.
    """
    need_not_negative(mass_kg=mass_kg)
    need_positive(density_kg_m3=density_kg_m3)
    return mass_kg / density_kg_m3 * 1000


def relative_yield_ratio(*, made_l: float, designed_l: float) -> float:
    """Volume made over volume the batch was designed for; below 1 the batch falls short.

    Args:
        made_l: Yield, 0 or more.
        designed_l: Volume designed for, above 0.

    Source: ASTM C138, relative yield, from memory.
    """
    need_not_negative(made_l=made_l)
    need_positive(designed_l=designed_l)
    return made_l / designed_l


def air_free_density_kg_m3(density_kg_m3: float, *, air_fraction: float) -> float:
    """Density a mix would have without its air, kg/m³: T of ASTM C138.

    Args:
        density_kg_m3: With its air, above 0.
        air_fraction: Air over volume, 0 to less than 1.

    Source: ASTM C138, theoretical density, from memory.

    Example:
        >>> air_free_density_kg_m3(2115, air_fraction=0.06)
        2250.0
    """
    need_positive(density_kg_m3=density_kg_m3, without_air_fraction=1 - air_fraction)
    need_not_negative(air_fraction=air_fraction)
    return density_kg_m3 / (1 - air_fraction)


def gravimetric_air_fraction(*, air_free_kg_m3: float, measured_kg_m3: float) -> float:
    """Air over volume of fresh mix, 0 to 1, from how much lighter it is than without air.

    Args:
        air_free_kg_m3: Density computed without air, above 0.
        measured_kg_m3: Density measured, above 0, at most the air-free one.

    Raises:
        ProportionError: "not-finite", "not-positive", "denser-than-air-free" (a mass or a density is wrong).

    Source: ASTM C138, air content, from memory: (T − D)/T.

    Example:
        >>> gravimetric_air_fraction(air_free_kg_m3=2250, measured_kg_m3=2115)
        0.06
    """
    need_positive(air_free_kg_m3=air_free_kg_m3, measured_kg_m3=measured_kg_m3)
    if measured_kg_m3 > air_free_kg_m3:
        raise ProportionError(OverAirFree(measured_kg_m3=measured_kg_m3, air_free_kg_m3=air_free_kg_m3))
    return (air_free_kg_m3 - measured_kg_m3) / air_free_kg_m3


def water_density_kg_m3(temperature_c: float) -> float:
    """Density of air-free water at one atmosphere.

    Args:
        temperature_c: Water temperature, 0 to 40 °C.

    Source: Tanaka and others (2001), Metrologia 38, 301, the formula CIPM recommends.

    Example:
        >>> round(water_density_kg_m3(20), 2)
        998.21
    """
    need_between(0, 40, temperature_c=temperature_c)
    above_peak_c = temperature_c - 3.983035
    return 999.974950 * (
        1 - above_peak_c**2 * (temperature_c + 301.797) / (522528.9 * (temperature_c + 69.34881))
    )
