"""Quantities as people type them, read exactly or refused with a code.

What is ambiguous is asked about ("1,234", a bare gallon), never guessed. Signs are read; bounds are the
caller's. `default` is the key of the unit of a bare number, None to ask for one; `comma_is_decimal` says that a comma
is known to be a decimal mark, so that "1,234 kg" needs no question. Each raises UnitsError with a code of
`errors.CODES`. A density, a speed and a time are read by `read_quantity` itself.
"""

from fractions import Fraction

from mixstation.units.quantity import read_quantity


def parse_mass_mg(text: str, default: str | None = None, *, comma_is_decimal: bool = False) -> int:
    """Read a mass, such as "6,4 kg", "850 g" or "2 lb 3.5 oz", in whole milligrams, halves to even.

    Source: NIST SP 811 (2008), Appendix B.8.

    Example:
        >>> parse_mass_mg("2 lb 3.5 oz")
        1006408
        >>> parse_mass_mg("6,4", default="kg")
        6400000
    """
    return round(read_quantity(text, "mass", default, comma_is_decimal=comma_is_decimal))


def parse_volume_ml(text: str, default: str | None = None, *, comma_is_decimal: bool = False) -> Fraction:
    """Read a volume, such as "1.5 L", "3 US qt", "1/3 ft3", in millilitres; a bare "gal" or "oz" is asked about.

    Source: NIST SP 811 (2008), Appendix B.8; Weights and Measures Act 1985 (UK), Schedule 1.

    Example:
        >>> parse_volume_ml("0,5 l")
        Fraction(500, 1)
    """
    return read_quantity(text, "volume", default, comma_is_decimal=comma_is_decimal)


def parse_length_mm(text: str, default: str | None = None, *, comma_is_decimal: bool = False) -> Fraction:
    """Read a length, such as "600 mm", "1 3/8 in" or "2 ft 3 in", in millimetres.

    Source: NIST SP 811 (2008), Appendix B.8.

    Example:
        >>> parse_length_mm("1 3/8 in")
        Fraction(1397, 40)
    """
    return read_quantity(text, "length", default, comma_is_decimal=comma_is_decimal)


def parse_temperature_c(text: str, default: str | None = None, *, comma_is_decimal: bool = False) -> Fraction:
    """Read a temperature, such as "23.5 °C" or "74 F", in °C.

    Source: NIST SP 811 (2008), Appendix B.8: t/°C = (t/°F − 32)/1.8.

    Example:
        >>> parse_temperature_c("77 °F")
        Fraction(25, 1)
    """
    return read_quantity(text, "temperature", default, comma_is_decimal=comma_is_decimal)


def parse_fraction(text: str, *, comma_is_decimal: bool = False) -> Fraction:
    """Read a share or ratio, such as "80 %", "0,34" or "1/3"; a bare number is the fraction itself.

    Source: Definition.

    Example:
        >>> parse_fraction("80 %")
        Fraction(4, 5)
    """
    return read_quantity(text, "share", None, comma_is_decimal=comma_is_decimal)
