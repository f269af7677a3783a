"""What becomes of a piece after the pour, in words: what to do at its hour, and what a log of temperatures tells."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from mixstation.plan.curing import DATUMS_C, FIRM_H, AfterPour, Curing, after_pour
from mixstation.proportion.temperature import FILM_FORMING_C
from mixstation.units.show import DisplayUnits, show_temperature_c

SOURCES = (
    "Sources: equivalent age by Freiesleben Hansen and Pedersen 1977 and by ASTM C1074; temperature-time factor by "
    "ASTM C1074; all from memory. A day at 20 °C: common practice, no source. A label goes first."
)
NOT_STRUCTURAL = "This is no proof of strength. A piece that bears load needs tests and a licensed engineer."


def curing_lines(
    found: Curing,
    began: datetime | None,
    units: DisplayUnits,
    *,
    moist: bool | None = None,
    own_seal_h: float | None = None,
) -> Iterator[str]:
    """What to do first, then what it rests on.

    Args:
        found: The figures.
        began: Local time of the end of placing, or None where the log counts hours.
        units: What temperatures are written in.
        moist: Whether the piece is kept moist for want of a curing polymer; None where that is not known.
        own_seal_h: The recipe's own hour of sealing, or None.
    """
    if found.strip_h is not None:
        wet = found.film_cold or bool(moist)
        hours = after_pour(found.strip_h, moist=wet, own_seal_h=own_seal_h)
        strip, sand, seal = (_at(each, began) for each in (hours.strip_h, hours.sand_h, hours.seal_h))
        yield f"Strip it from {strip}. Sand it wet, by hand, from {sand}."
        if moist is None and not wet:
            moist_seal = _at(after_pour(found.strip_h, moist=True).seal_h, began)
            yield f"Seal it from {seal}, dry; from {moist_seal} if it is kept moist for want of a polymer."
        else:
            yield f"Seal it from {seal}, dry."
    elif found.left_h is None:
        yield "Do not strip it. It is too cold to cure: warm the room."
    else:
        yield f"Do not strip it yet. Wait about {_hours(found.left_h)} more at the last temperature."
    least, most = (show_temperature_c(reading_c, units) for reading_c in (found.least_c, found.most_c))
    yield f"Log: {_hours(found.hours)}, {least} to {most}."
    low, high = (f"{age_h:.1f}" for age_h in found.age_h)
    ages = low if low == high else f"{low} to {high}"
    needed = f"{found.needed_h:g} h"
    yield f"Age: as old as {ages} h at 20 °C; {needed} are needed, and {needed} by the clock."
    factors = ", ".join(
        f"{factor:.0f} °C·h above {datum_c:g} °C (needs {found.needed_h * (20 - datum_c):.0f})"
        for factor, datum_c in zip(found.maturity_c_h, DATUMS_C, strict=True)
    )
    yield f"Temperature-time factor: {factors}."
    if found.film_cold:
        film = show_temperature_c(FILM_FORMING_C, units)
        yield f"It was colder than {film}: a curing polymer may have formed no film. Keep the piece moist for 7 days."
    yield SOURCES
    yield NOT_STRUCTURAL


def planned_lines(hours: AfterPour | None) -> Iterator[str]:
    """What a plan says of the piece after the pour; hours count from the end of placing.

    Args:
        hours: From which hour each work may be done; None where it is too cold to cure.
    """
    yield COVER
    if hours is None:
        yield TOO_COLD_PLAN
        return
    seal = f"seal it from {_days(hours.seal_h)}"
    better = "" if hours.good_seal_h is None else f", better {_days(hours.good_seal_h)}"
    moist = "" if hours.moist_h is None else f" Keep it moist for {_days(hours.moist_h)}."
    yield f"From the end of placing: strip it from {hours.strip_h:g} h, later if colder.{moist}"
    yield f"Sand it wet by hand from {hours.sand_h:g} h, 400 grit; {seal}{better}, dry and sanded."


def _days(hours: float) -> str:
    return f"{hours / 24:g} days" if hours % 24 == 0 else f"{hours:g} h"


def _hours(hours: float) -> str:
    return f"{hours:.1f} h"


def _at(hours: float, began: datetime | None) -> str:
    if began is None:
        return f"hour {hours:.1f}"
    return (began + timedelta(hours=hours)).isoformat(sep=" ", timespec="minutes")


PRACTICE = "common practice, no source"
AGE = "common practice; other temperatures by equivalent age, Freiesleben Hansen and Pedersen 1977 and ASTM C1074, "
AGE += "and by its temperature-time factor, all from memory"
LABEL = "common practice, no source; the polymer's label takes precedence"
RECIPE = "the recipe"
DEFINITION = "definition"

FROM_PLACING = "All times count from the end of placing, {at}."
FROM_WATER = "All times count from the last water, {at}: when it was placed was not said."
COVER = "Cover with polythene at once. No fans, no forced hot air on fresh work."
MOIST = "Keep it covered and moist for about {days:.0f} days, until {until}, in the mould and out of it."
MOIST_COLD = "Keep it covered and moist, and warm it: the days of a moist cure count from then."
POLYMER = (
    "Leave it covered until it is out of the mould, then in air, above {film}. No soaking, no wet cloths: only the "
    "sanding wets it, and is wiped off."
)
STRIP = "Take it out of the mould after {usual} at 20 °C, from {at}; longer when it is colder."
STRIP_AT = (
    "Take it out of the mould after about {hours} at {shop} ({usual} at 20 °C), from {at}; longer if colder."
)
TOO_COLD = (
    "Do not take it out of the mould: at {shop} it does not cure. Warm the room, then log its temperature."
)
TOO_COLD_PLAN = "Warm the room: in so cold a shop it does not cure, and cannot be taken out of the mould."
SAND = f"Let the face firm up for at least {FIRM_H:g} h after that. Sand it wet by hand from {{at}}: 400 grit, lightly,"
SAND += " fibres covered."
DRY = "Rest it on sticks, so that both faces dry alike and it does not curl."
DRY_AFTER = "Let it dry from {at}, on sticks, so that both faces dry alike and it does not curl."
SEAL = "Seal it dry and sanded, thin, nothing left pooled: not before {least}, better {better}."
SEAL_OWN = "Seal it dry and sanded, thin, nothing left pooled: not before {least}."
COLOUR = "Judge its colour after two to four weeks, from {from_at} to {to_at}."

STRIP_SHORT = "Take it out of the mould from {at}."
SAND_SHORT = "Sand it wet, by hand, from {at}."
SEAL_SHORT = "Seal it, dry, from {at}."
