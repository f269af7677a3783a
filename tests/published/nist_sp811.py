"""NIST Special Publication 811, Guide for the Use of the SI, 2008 edition, Appendix B.8 and its footnotes.

Read: [std], the factors as NIST prints them, in two transcriptions of the table that agree with each other; density
rows and footnote 22 as quoted by public sources.
Tolerance: 0 where the factor is printed in boldface ("exact") or the footnote gives it in full; else half a unit of
the seventh digit, to which the table is rounded. The temperatures are worked out from the table's formula.
"""

from fractions import Fraction
from functools import partial

from mixstation.units.parse import parse_temperature_c
from mixstation.units.quantity import read_quantity
from mixstation.units.tables import UNITS_BY_KEY
from tests.published.case import PublishedCase

SOURCE = "NIST SP 811 (2008) [std]"


def _factor(key: str, per_base: Fraction) -> float:
    return float(read_quantity(f"1 {key}", UNITS_BY_KEY[key].dimension, None) * per_base)


def _celsius(fahrenheit: int) -> float:
    return float(parse_temperature_c(f"{fahrenheit} °F"))


def _row(
    what: str, key: str, printed: float, unit: str, per_base: Fraction | int, tolerance: float = 0.0
) -> PublishedCase:
    return PublishedCase(
        source=SOURCE,
        place="Appendix B.8",
        what=what,
        expected=printed,
        tolerance=tolerance,
        unit=unit,
        compute=partial(_factor, key, Fraction(per_base)),
    )


_KG = Fraction(1, 1_000_000)
_M3 = Fraction(1, 1_000_000)
_M = Fraction(1, 1_000)
_M_PER_S = Fraction(5, 18)

CASES: tuple[PublishedCase, ...] = (
    _row("pound (avoirdupois), lb", "lb", 4.535924e-01, "kg", _KG, 5e-8),
    _row("pound (avoirdupois), lb, in full (footnote 22)", "lb", 0.45359237, "kg", _KG),
    _row("ounce (avoirdupois), oz", "oz", 2.834952e-02, "kg", _KG, 5e-9),
    _row("tonne, t", "t", 1.0e03, "kg", _KG),
    _row("gallon (US)", "US gal", 3.785412e-03, "m³", _M3, 5e-10),
    _row("quart (US liquid)", "US qt", 9.463529e-04, "m³", _M3, 5e-11),
    _row("pint (US liquid)", "US pt", 4.731765e-04, "m³", _M3, 5e-11),
    _row("fluid ounce (US)", "US fl oz", 2.957353e-05, "m³", _M3, 5e-12),
    _row("gallon (Canadian and UK, imperial)", "imp gal", 4.54609e-03, "m³", _M3),
    _row("ounce (Canadian and UK fluid, imperial)", "imp fl oz", 2.841306e-05, "m³", _M3, 5e-12),
    _row("litre, L", "L", 1.0e-03, "m³", _M3),
    _row("cubic foot, ft³", "ft3", 2.831685e-02, "m³", _M3, 5e-9),
    _row("inch, in", "in", 2.54e-02, "m", _M),
    _row("foot, ft", "ft", 3.048e-01, "m", _M),
    _row("minute, min", "min", 6.0e01, "s", 1),
    _row("hour, h", "h", 3.6e03, "s", 1),
    _row("day, d", "d", 8.64e04, "s", 1),
    _row("pound per cubic foot, lb/ft³", "lb/ft3", 1.601846e01, "kg/m³", 1, 5e-6),
    _row("gram per cubic centimetre, g/cm³", "g/cm3", 1.0e03, "kg/m³", 1),
    _row("kilometre per hour, km/h", "km/h", 2.777778e-01, "m/s", _M_PER_S, 5e-8),
    _row("mile per hour, mi/h", "mph", 4.4704e-01, "m/s", _M_PER_S),
    _row("mile per hour, mi/h, in km/h", "mph", 1.609344e00, "km/h", 1),
    *(
        PublishedCase(
            source=SOURCE,
            place="Appendix B.8",
            what=f"degree Fahrenheit, t/°C = (t/°F − 32)/1.8 at {fahrenheit} °F",
            expected=celsius,
            tolerance=0.0,
            unit="°C",
            compute=partial(_celsius, fahrenheit),
            figure="worked out",
        )
        for fahrenheit, celsius in ((-40, -40.0), (32, 0.0), (77, 25.0), (212, 100.0))
    ),
)
