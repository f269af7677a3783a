"""Printing volumes, lengths, temperatures, ratios and times; decimal point always, halves to even, no locale.

Display units change what is printed and nothing else: everything is kept and computed in the base units.
"""

from enum import StrEnum
from fractions import Fraction

from mixstation.units.tables import UNITS_BY_KEY

Number = Fraction | int | float


class DisplayUnits(StrEnum):
    """What a person reads in.

    Attributes:
        METRIC: g and kg, mL and L, mm, °C.
        US: lb with decimals, US fl oz and US gal, in, °F.
        US_POUND_OUNCE: As US, with masses in lb and oz.
    """

    METRIC = "metric"
    US = "us"
    US_POUND_OUNCE = "us-pound-ounce"


def fixed(value: Number, places: int) -> str:
    """A finite number in ASCII with a fixed count of decimals, halves to even, never "-0"; a float at its exact value.

    Source: Definition.

    Example:
        >>> fixed(Fraction(1, 8), 2)
        '0.12'
    """
    scaled = round(Fraction(value) * 10**places)
    whole, rest = divmod(abs(scaled), 10**places)
    decimals = f".{rest:0{places}d}" if places else ""
    return f"{'-' if scaled < 0 else ''}{whole}{decimals}"


def trimmed(value: Number, places: int) -> str:
    """A finite number in ASCII with at most so many decimals and no zeros at its end.

    Source: Definition.

    Example:
        >>> trimmed(Fraction(5, 2), 3)
        '2.5'
    """
    text = fixed(value, places)
    return text.rstrip("0").rstrip(".") if "." in text else text


def show_volume_ml(volume_ml: Number, units: DisplayUnits) -> str:
    """A volume: mL below one litre and L above, or US fl oz below one quart and US gal above.

    Returns:
        Number and unit; `parse_volume_ml` reads it back to within half its last decimal.

    Source: Choice: three decimals of a litre are a millilitre; three of a gallon about four.

    Example:
        >>> show_volume_ml(1250, DisplayUnits.METRIC)
        '1.25 L'
    """
    volume = Fraction(volume_ml)
    if units is DisplayUnits.METRIC:
        small, large, small_places = "mL", "L", 1
        is_small = abs(round(volume, small_places)) < 1_000
    else:
        small, large, small_places = "US fl oz", "US gal", 2
        is_small = abs(volume) < UNITS_BY_KEY["US qt"].factor
    key, places = (small, small_places) if is_small else (large, 3)
    return f"{trimmed(volume / UNITS_BY_KEY[key].factor, places)} {key}"


def show_volume_l(volume_l: Number, units: DisplayUnits) -> str:
    """A volume reckoned in litres, to ten millilitres, as `show_volume_ml`.

    Source: Choice: a mix is not known to less, for its air is not.

    Example:
        >>> show_volume_l(6.0234, DisplayUnits.METRIC)
        '6.02 L'
    """
    return show_volume_ml(round(Fraction(volume_l) * 100) * 10, units)


def show_length_mm(length_mm: Number, units: DisplayUnits) -> str:
    """A length: mm to 0.1, or inches as a tape shows them when it is a whole sixteenth, else to 0.01.

    Returns:
        Number and unit; `parse_length_mm` reads it back to within half its last decimal.

    Source: Choice: a tape measure's smallest common mark is 1/16 in.

    Example:
        >>> show_length_mm(Fraction(1397, 40), DisplayUnits.US)
        '1 3/8 in'
    """
    if units is DisplayUnits.METRIC:
        return f"{trimmed(length_mm, 1)} mm"
    inches = Fraction(length_mm) / UNITS_BY_KEY["in"].factor
    if inches.denominator == 1 or 16 % inches.denominator:
        return f"{trimmed(inches, 2)} in"
    whole, rest = divmod(abs(inches), 1)
    sign = "-" if inches < 0 else ""
    return f"{sign}{whole} {rest} in" if whole else f"{sign}{rest} in"


def show_temperature_c(temperature_c: Number, units: DisplayUnits) -> str:
    """A temperature to 0.1 of a degree, with its unit.

    Source: Choice: a shop thermometer shows tenths.

    Example:
        >>> show_temperature_c(25, DisplayUnits.US)
        '77 °F'
    """
    unit = UNITS_BY_KEY["°C" if units is DisplayUnits.METRIC else "°F"]
    return f"{trimmed(Fraction(temperature_c) / unit.factor + unit.offset, 1)} {unit.key}"


def show_ratio(ratio: Number, places: int = 3) -> str:
    """A ratio with a fixed count of decimals, so that two can be compared at a glance.

    Source: Choice: 0.001 of a water ratio is below what a bucket can be held to.

    Example:
        >>> show_ratio(Fraction(17, 50))
        '0.340'
    """
    return fixed(ratio, places)


def show_percent(fraction: Number, places: int = 1) -> str:
    """A fraction (1 for 100 %) in per cent, with so many decimals at most.

    Source: Definition.

    Example:
        >>> show_percent(Fraction(4, 5))
        '80 %'
    """
    return f"{trimmed(Fraction(fraction) * 100, places)} %"


def show_clock(seconds: Number) -> str:
    """A running clock in whole seconds; a second counts once it is full.

    Returns:
        Minutes and seconds, with hours in front from one hour on, and a minus sign below zero.

    Source: Choice: truncated toward zero, as clocks show time.

    Example:
        >>> show_clock(247), show_clock(3750)
        ('4:07', '1:02:30')
    """
    full = int(seconds)
    hours, rest = divmod(abs(full), 3_600)
    minutes, left = divmod(rest, 60)
    sign = "-" if full < 0 else ""
    return f"{sign}{hours}:{minutes:02d}:{left:02d}" if hours else f"{sign}{minutes}:{left:02d}"


def show_duration(seconds: Number) -> str:
    """A length of time in words a recipe uses, to whole seconds, halves to even.

    Returns:
        Days, hours, minutes and seconds, those that are zero left out; read back as a time.

    Source: Definition.

    Example:
        >>> show_duration(150)
        '2 min 30 s'
    """
    whole = round(Fraction(seconds))
    left = abs(whole)
    shown: list[str] = []
    for key in ("d", "h", "min", "s"):
        count, left = divmod(left, int(UNITS_BY_KEY[key].factor))
        if count:
            shown.append(f"{count} {key}")
    return ("-" if whole < 0 else "") + (" ".join(shown) or "0 s")


def show_density(kg_m3: Number, units: DisplayUnits) -> str:
    """A density as a person reads it.

    >>> show_density(2054.3, DisplayUnits.METRIC)
    '2054 kg/m³'
    """
    if units is DisplayUnits.METRIC:
        return f"{trimmed(kg_m3, 0)} kg/m³"
    return f"{trimmed(Fraction(kg_m3) / UNITS_BY_KEY['lb/ft3'].factor, 1)} lb/ft³"
