"""Quantities as people type them, read exactly or refused with a code.

What is ambiguous is asked about ("1,234", a bare gallon), never guessed. Signs are read; bounds are the
caller's.
"""

from fractions import Fraction

from mixstation.units.quantity import read_quantity


def parse_mass_mg(text: str, default: str | None = None, *, comma_is_decimal: bool = False) -> int:
    """Read a mass, such as "6,4 kg", "850 g" or "2 lb 3.5 oz".

    Args:
        text: What was typed.
        default: Key of the unit of a bare number ("kg", "g", "lb", "oz"); None asks for one.
        comma_is_decimal: A comma is known to be a decimal mark, so "1,234 kg" needs no question.

    Returns:
        The mass in whole milligrams, halves to even; negative when typed so.

    Raises:
        UnitsError: With a code of `errors.CODES`.

    Source: NIST SP 811 (2008), Appendix B.8.

    Example:
        >>> parse_mass_mg("2 lb 3.5 oz")
        1006408
        >>> parse_mass_mg("6,4", default="kg")
        6400000
    """
    return round(read_quantity(text, "mass", default, comma_is_decimal=comma_is_decimal))


def parse_volume_ml(text: str, default: str | None = None, *, comma_is_decimal: bool = False) -> Fraction:
    """Read a volume, such as "1.5 L", "3 US qt", "1/3 ft3"; a bare "gal" or "oz" is asked about.

    Args:
        text: What was typed.
        default: Key of the unit of a bare number ("mL", "L"); None asks for one.
        comma_is_decimal: A comma is known to be a decimal mark.

    Returns:
        The volume in millilitres, exact.

    Raises:
        UnitsError: With a code of `errors.CODES`.

    Source: NIST SP 811 (2008), Appendix B.8; Weights and Measures Act 1985 (UK), Schedule 1.

    Example:
        >>> parse_volume_ml("0,5 l")
        Fraction(500, 1)
    """
    return read_quantity(text, "volume", default, comma_is_decimal=comma_is_decimal)


def parse_length_mm(text: str, default: str | None = None, *, comma_is_decimal: bool = False) -> Fraction:
    """Read a length, such as "600 mm", "1 3/8 in" or "2 ft 3 in".

    Args:
        text: What was typed.
        default: Key of the unit of a bare number ("mm", "in"); None asks for one.
        comma_is_decimal: A comma is known to be a decimal mark.

    Returns:
        The length in millimetres, exact.

    Raises:
        UnitsError: With a code of `errors.CODES`.

    Source: NIST SP 811 (2008), Appendix B.8.

    Example:
        >>> parse_length_mm("1 3/8 in")
        Fraction(1397, 40)
    """
    return read_quantity(text, "length", default, comma_is_decimal=comma_is_decimal)


def parse_temperature_c(text: str, default: str | None = None, *, comma_is_decimal: bool = False) -> Fraction:
    """Read a temperature, such as "23.5 °C" or "74 F".

    Args:
        text: What was typed.
        default: Key of the unit of a bare number ("°C" or "°F"); None asks for one.
        comma_is_decimal: A comma is known to be a decimal mark.

    Returns:
        The temperature in °C, exact.

    Raises:
        UnitsError: With a code of `errors.CODES`.

    Source: NIST SP 811 (2008), Appendix B.8: t/°C = (t/°F − 32)/1.8.

    Example:
        >>> parse_temperature_c("77 °F")
        Fraction(25, 1)
    """
    return read_quantity(text, "temperature", default, comma_is_decimal=comma_is_decimal)


def parse_seconds(text: str, default: str | None = None, *, comma_is_decimal: bool = False) -> Fraction:
    """Read a length of time, such as "20 s", "1 min 30 s" or "2 d".

    Args:
        text: What was typed.
        default: Key of the unit of a bare number ("s", "min", "h", "d"); None asks for one.
        comma_is_decimal: A comma is known to be a decimal mark.

    Returns:
        The time in seconds, exact.

    Raises:
        UnitsError: With a code of `errors.CODES`.

    Source: NIST SP 811 (2008), Appendix B.8.

    Example:
        >>> parse_seconds("1 min 30 s")
        Fraction(90, 1)
    """
    return read_quantity(text, "time", default, comma_is_decimal=comma_is_decimal)


def parse_fraction(text: str, *, comma_is_decimal: bool = False) -> Fraction:
    """Read a share or ratio, such as "80 %", "0,34" or "1/3".

    Args:
        text: What was typed; a bare number is the fraction itself, so "80" is eighty.
        comma_is_decimal: A comma is known to be a decimal mark.

    Returns:
        The share, exact.

    Raises:
        UnitsError: With a code of `errors.CODES`.

    Source: Definition.

    Example:
        >>> parse_fraction("80 %")
        Fraction(4, 5)
    """
    return read_quantity(text, "share", None, comma_is_decimal=comma_is_decimal)


def parse_density_kg_m3(text: str, default: str | None = None, *, comma_is_decimal: bool = False) -> Fraction:
    """Read a density, such as "2120 kg/m3", "1.06 g/cm3" or "140 lb/ft3".

    Args:
        text: What was typed.
        default: Key of the unit of a bare number ("kg/m3"); None asks for one.
        comma_is_decimal: A comma is known to be a decimal mark.

    Returns:
        The density in kg/m³, exact.

    Raises:
        UnitsError: With a code of `errors.CODES`.

    Source: NIST SP 811 (2008), Appendix B.8.

    Example:
        >>> parse_density_kg_m3("1,06 g/cm3")
        Fraction(1060, 1)
    """
    return read_quantity(text, "density", default, comma_is_decimal=comma_is_decimal)


def parse_speed_kmh(text: str, default: str | None = None, *, comma_is_decimal: bool = False) -> Fraction:
    """Read a wind speed, such as "12 km/h", "10 mph" or "3 m/s".

    Args:
        text: What was typed.
        default: Key of the unit of a bare number ("km/h"); None asks for one.
        comma_is_decimal: A comma is known to be a decimal mark.

    Returns:
        The speed in km/h, exact.

    Raises:
        UnitsError: With a code of `errors.CODES`.

    Source: NIST SP 811 (2008), Appendix B.8.

    Example:
        >>> parse_speed_kmh("5 m/s")
        Fraction(18, 1)
    """
    return read_quantity(text, "speed", default, comma_is_decimal=comma_is_decimal)
