"""Masses, moments and foreign text as the record writes them."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone
from fractions import Fraction

from mixstation.batch.events import Stamp
from mixstation.units.clean import clean
from mixstation.units.show import DisplayUnits
from mixstation.units.show_mass import MassShown, show_mass, show_mass_parts
from mixstation.units.tables import UNITS_BY_KEY

LONGEST_TEXT = 2_000
"""Source: Choice: a long note; what is longer stays whole in the journal."""

_DAY_MIN = 24 * 60


def plain(text: str, limit: int = LONGEST_TEXT) -> str:
    """Text from outside on one line, cleaned.

    >>> plain("pale\\nspot\\x1b")
    'pale spot\ufffd'
    """
    return clean(" ".join(text.split()), limit)


def exact_mass(mass_mg: int, units: DisplayUnits, division_mg: int) -> str:
    """A mass that was read, with every digit it has.

    Args:
        mass_mg: Mass in mg.
        units: What the person reads in; in US units the exact metric mass stands behind.
        division_mg: Of the display it was read from; at least its digits are written.

    Returns:
        Number and unit.

    Example:
        >>> exact_mass(6_400_000, DisplayUnits.METRIC, 1_000), exact_mass(35_500, DisplayUnits.METRIC, 1_000)
        ('6.400 kg', '35.5 g')
        >>> exact_mass(4_535_924, DisplayUnits.US, 4_536)
        '10.00 lb (4.535924 kg)'
    """
    step_mg = division_mg
    while _in_mg(metric := show_mass_parts(mass_mg, DisplayUnits.METRIC, step_mg)) != mass_mg:
        step_mg //= 10
    whole = f"{metric.number} {metric.unit}"
    return whole if units is DisplayUnits.METRIC else f"{show_mass(mass_mg, units, division_mg)} ({whole})"


def _in_mg(shown: MassShown) -> Fraction:
    return Fraction(shown.number) * UNITS_BY_KEY[shown.unit].factor


def signed(amount: Fraction | int, say: Callable[[int], str]) -> str:
    """An amount with its sign; none where nought is shown.

    >>> signed(-3, str), signed(0, str), signed(4, str)
    ('-3', '0', '+4')
    """
    text = say(abs(round(amount)))
    sign = "" if text == say(0) else "+" if amount > 0 else "-"
    return f"{sign}{text}"


def local(stamp: Stamp, later_h: float = 0.0) -> datetime | None:
    """When a stamp was made, in its own local time; None for a stamp no calendar has.

    Args:
        stamp: The stamp.
        later_h: Hours to go on from there.
    """
    try:
        zone = timezone(timedelta(minutes=stamp.offset_min)) if abs(stamp.offset_min) < _DAY_MIN else UTC
        return datetime.fromtimestamp(0, zone) + timedelta(milliseconds=stamp.utc_ms, hours=later_h)
    except (OverflowError, ValueError):
        return None


def when(stamp: Stamp | None) -> str:
    """A stamp's local date and time with its offset; "" for none.

    >>> when(Stamp(utc_ms=0, offset_min=90, boot_ms=0, mono_ms=0, boot_id="", who=""))
    '1970-01-01 01:30:00 +01:30'
    """
    at = local(stamp) if stamp is not None else None
    text = at.isoformat(sep=" ", timespec="seconds") if at is not None else ""
    return f"{text[:19]} {text[19:]}".rstrip()


def day(stamp: Stamp, later_h: float) -> str:
    """The local date and time some hours after a stamp; "" for none."""
    at = local(stamp, later_h)
    return at.isoformat(sep=" ", timespec="minutes")[:16] if at is not None else ""
