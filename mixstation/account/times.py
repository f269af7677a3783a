"""How long steps took, and amounts against their bounds."""

from fractions import Fraction

from mixstation.account.form import Place
from mixstation.batch.events import ConsistencyJudged, Stamp
from mixstation.batch.moment import chemical_s, worked_s
from mixstation.batch.run import Run
from mixstation.recipe.model import ConsistencyStep, MixStep, RestStep, TemperatureStep
from mixstation.units.show import DisplayUnits, show_duration, show_temperature_c

METHOD_UNITS = {"spread": " mm", "flow": " %", "rings": " rings", "trowel": ""}


def took_s(step: MixStep | RestStep, began: Stamp | None, ended: Stamp) -> float | None:
    """Seconds a step took, by the clock its flags go by; None where nobody knows.

    Args:
        step: Mixing stands still while the machine sleeps; a rest goes on.
        began: When its timer started, or None.
        ended: When it was done.
    """
    if began is None:
        return None
    if isinstance(step, RestStep):
        return chemical_s(began, ended)
    return worked_s(began, ended) if began.boot_id == ended.boot_id else None


def time_bounds(step: MixStep | RestStep) -> str:
    """Least and most time of a step."""
    return f"{show_duration(step.min_s)} to {show_duration(step.max_s)}"


def temperature_bounds(step: TemperatureStep, units: DisplayUnits) -> str:
    """The temperatures a recipe asks for; "" where it asks for none."""
    least = "" if step.min_c is None else show_temperature_c(step.min_c, units)
    most = "" if step.max_c is None else show_temperature_c(step.max_c, units)
    return (
        f"{least} to {most}"
        if least and most
        else f"at least {least}"
        if least
        else most and f"at most {most}"
    )


def figure_shown(run: Run, fact: ConsistencyJudged) -> str:
    """A measured consistency with the unit of its method; "" where it was judged by eye."""
    if fact.figure is None:
        return ""
    step = run.step_of(fact.step) if fact.step is not None else None
    return f"{fact.figure}{METHOD_UNITS[step.method] if isinstance(step, ConsistencyStep) else ''}"


def place_of(amount: Fraction | float, least: Fraction | float, most: Fraction | float) -> Place:
    """Where an amount is against its bounds, which are inside.

    >>> place_of(59, 60, 90), place_of(60, 60, 90), place_of(91, 60, 90)
    ('under', 'inside', 'over')
    """
    return "under" if amount < least else "over" if amount > most else "inside"
