"""What becomes of a piece after the pour, in words: what to do at its hour, and what a log of temperatures tells."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from mixstation.plan.curing import DATUMS_C, FIRM_H, STRIP_H, Curing
from mixstation.proportion.temperature import FILM_FORMING_C
from mixstation.units.show import DisplayUnits, show_temperature_c

SOURCES = (
    "Sources: equivalent age by Freiesleben Hansen and Pedersen 1977 and by ASTM C1074; temperature-time factor by "
    "ASTM C1074; all from memory. A day at 20 °C: common practice, no source. A label goes first."
)
NOT_STRUCTURAL = "This is no proof of strength. A piece that bears load needs tests and a licensed engineer."


def curing_lines(found: Curing, began: datetime | None, units: DisplayUnits) -> Iterator[str]:
    """What to do first, then what it rests on.

    Args:
        found: The figures.
        began: Local time of the end of placing, or None where the log counts hours.
        units: What temperatures are written in.
    """
    if found.strip_h is not None:
        strip, sand = (_at(hours, began) for hours in (found.strip_h, found.strip_h + FIRM_H))
        yield f"Strip it from {strip}. Sand it wet, by hand, from {sand}."
    elif found.left_h is None:
        yield "Do not strip it. It is too cold to cure: warm the room."
    else:
        yield f"Do not strip it yet. Wait about {_hours(found.left_h)} more at the last temperature."
    least, most = (show_temperature_c(reading_c, units) for reading_c in (found.least_c, found.most_c))
    yield f"Log: {_hours(found.hours)}, {least} to {most}."
    low, high = (f"{age_h:.1f}" for age_h in found.age_h)
    ages = low if low == high else f"{low} to {high}"
    yield f"Age: as old as {ages} h at 20 °C; {STRIP_H:g} h are needed, and {STRIP_H:g} h by the clock."
    factors = ", ".join(
        f"{factor:.0f} °C·h above {datum_c:g} °C (needs {STRIP_H * (20 - datum_c):.0f})"
        for factor, datum_c in zip(found.maturity_c_h, DATUMS_C, strict=True)
    )
    yield f"Temperature-time factor: {factors}."
    if found.film_cold:
        film = show_temperature_c(FILM_FORMING_C, units)
        yield f"It was colder than {film}: a curing polymer may have formed no film. Keep the piece moist for 7 days."
    yield SOURCES
    yield NOT_STRUCTURAL


def _hours(hours: float) -> str:
    return f"{hours:.1f} h"


def _at(hours: float, began: datetime | None) -> str:
    if began is None:
        return f"hour {hours:.1f}"
    return (began + timedelta(hours=hours)).isoformat(sep=" ", timespec="minutes")


PRACTICE = "common practice, no source"
AGE = "common practice; other temperatures by equivalent age, Freiesleben Hansen and Pedersen 1977 and ASTM C1074, "
AGE += "both from memory"
LABEL = "common practice, no source; the polymer's label takes precedence"

COVER = "Cover with polythene at once. No fans, no forced hot air on fresh work."
MOIST = "Keep it covered and moist for about 7 days, until {until}."
POLYMER = "Leave it covered overnight, then in air, above {film}. Do not wet it again for a day or two, until {until}."
STRIP = "Take it out of the mould after about 24 h at 20 °C, from {at}; longer when it is colder."
STRIP_AT = (
    "Take it out of the mould after about {hours} at {shop} (24 h at 20 °C), from {at}; longer if colder."
)
FIRM = "Let the face firm up for at least 1 h after that; then sand wet by hand, 400 grit, lightly, fibres covered."
DRY = "Rest it on sticks, so that both faces dry alike and it does not curl."
SEAL = "Seal it dry and sanded, thin, nothing left pooled: not before {least}, better {better}."
COLOUR = "Judge its colour after two to four weeks, from {two_weeks} to {four_weeks}."
