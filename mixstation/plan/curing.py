"""What is done with a piece after the pour, and from which hour: by its recipe, the shop, or a log of temperatures.

Every hour counts from the end of placing.
"""

from bisect import bisect_left
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from math import ceil, inf

from mixstation.frozen import Frozen
from mixstation.proportion.maturity import (
    REFERENCE_C,
    constant_rate_ratio,
    energy_rate_ratio,
    equivalent_age_h,
    nurse_saul_c_h,
)
from mixstation.proportion.temperature import FILM_FORMING_C
from mixstation.recipe.limits import MIN_CURING_POLYMER
from mixstation.recipe.model import Basis, Material, Recipe, Role
from mixstation.recipe.proportions import basis_mass

STRIP_H = 24.0
"""A piece is stripped at the strength of a day at 20 °C, and not before a day by the clock, however warm it was; where
its recipe says another time, that one stands for both.

Source: Common practice, no source: polymer, plasticiser and a cool night are in no formula.
"""

FIRM_H = 1.0
"""The face firms up so long after stripping before wet sanding by hand. Source: Common practice, no source."""

MOIST_H = 7 * 24.0
"""Kept moist so long without a curing polymer. Source: Common practice, no source."""

DRYING_H, GOOD_DRYING_H = 48.0, 96.0
"""A sealer goes on no sooner, and better later; after a moist cure no sooner and better later than its end. Source:
Common practice, no source."""

SANDED_DRY_H, GOOD_SANDED_DRY_H = 24.0, 72.0
"""From stripping, with the sanding that follows it, to a sealer. Source: Choice: what is left of the hours above where
stripping takes a day, so that a cold shop moves the sealer with the stripping."""

COLOUR_H = (14 * 24.0, 28 * 24.0)
"""A colour is judged between these. Source: Common practice, no source."""

DATUMS_C = (0.0, -10.0)
"""Where setting stops. Source: ASTM C1074 and common practice, from memory: 0 °C, and −10 °C by older texts."""

History = Sequence[tuple[float, float]]
_Measure = tuple[Callable[[History], float], float, Callable[[float], float]]


class AfterPour(Frozen):
    """From which hour after the end of placing each work may be done.

    Attributes:
        strip_h: The piece may come out of its mould.
        sand_h: Its face may be sanded wet.
        moist_h: It is kept moist until then; None where a curing polymer stands for that.
        seal_h: A sealer may go on.
        good_seal_h: It goes on better then; None where the recipe says when.
    """

    strip_h: float
    sand_h: float
    moist_h: float | None
    seal_h: float
    good_seal_h: float | None


def after_pour(strip_h: float, *, moist: bool, own_seal_h: float | None = None) -> AfterPour:
    """What follows from the hour of stripping; nothing comes before what has to be done first.

    Args:
        strip_h: Hour of stripping.
        moist: The piece is kept moist, for want of a curing polymer.
        own_seal_h: The recipe's own hour of sealing, or None.

    Source: Common practice, no source.

    Example:
        >>> after_pour(24, moist=False)
        AfterPour(strip_h=24, sand_h=25.0, moist_h=None, seal_h=48.0, good_seal_h=96.0)
    """
    sand_h = strip_h + FIRM_H
    # What is still in its mould is not let dry.
    moist_h = max(MOIST_H, strip_h) if moist else None
    from_h = moist_h or 0.0
    seal_h = max(from_h + DRYING_H, strip_h + SANDED_DRY_H)
    good_seal_h: float | None = max(from_h + GOOD_DRYING_H, strip_h + GOOD_SANDED_DRY_H)
    if own_seal_h is not None:
        seal_h, good_seal_h = max(own_seal_h, sand_h), None
    return AfterPour(
        strip_h=strip_h,
        sand_h=sand_h,
        moist_h=moist_h,
        seal_h=seal_h,
        good_seal_h=good_seal_h,
    )


def after_pour_of(recipe: Recipe, content: Mapping[str, Fraction], shop_c: float | None) -> AfterPour | None:
    """What is done from which hour with a piece of a recipe that cures in the shop.

    Args:
        content: Weighed masses of the mix, by material.
        shop_c: Temperature of the shop, °C; None where it is not known, and 20 °C stands for it.

    Returns:
        Whole hours; None where it is too cold to cure.
    """
    strip_h = steady_strip_h(REFERENCE_C if shop_c is None else shop_c, own_strip_h(recipe))
    if strip_h is None:
        return None
    own_seal_h = None if recipe.seal_min is None else recipe.seal_min / 60
    return after_pour(strip_h, moist=curing_polymer(recipe, content) is None, own_seal_h=own_seal_h)


def own_strip_h(recipe: Recipe) -> float:
    """Hours at 20 °C to stripping: the recipe's own, else the usual."""
    return STRIP_H if recipe.strip_min is None else recipe.strip_min / 60


def steady_strip_h(at_c: float, needed_h: float = STRIP_H) -> float | None:
    """The hour from which every measure and the clock allow stripping at one temperature.

    Args:
        at_c: Temperature of the piece, °C; beyond −10 to 80 °C it counts as the nearer of the two.
        needed_h: Hours it takes at 20 °C.

    Returns:
        Whole hours, rounded up; None where it does not cure.

    Source: As for `curing`.

    Example:
        >>> [steady_strip_h(at_c) for at_c in (25, 20, 10, -2)]
        [24, 24, 49, None]
    """
    counted_c = min(80.0, max(-10.0, at_c))
    slowest_h = max(
        needed / rate(counted_c) if rate(counted_c) else inf for _, needed, rate in _measures(needed_h)
    )
    return None if slowest_h == inf else ceil(round(slowest_h, 6))


def curing_polymer(recipe: Recipe, content: Mapping[str, Fraction]) -> Material | None:
    """The polymer whose solids are enough of the cement to take the place of wet curing; None where that is not known.

    Args:
        content: Weighed masses of the mix, by material.
    """
    # Where a blend does not state its cement, that is not known.
    if any(material.is_powder and material.cement_fraction is None for material in recipe.materials):
        return None
    cement = basis_mass(recipe, content, Basis.CEMENT)
    polymers = [material for material in recipe.materials if material.role is Role.POLYMER]
    solids = sum(content[polymer.key] * (1 - polymer.water_fraction) for polymer in polymers)
    return polymers[0] if cement and solids / cement >= MIN_CURING_POLYMER else None


class Curing(Frozen):
    """What a log of temperatures tells.

    Attributes:
        age_h: Hours at 20 °C that do as much, least and most by the two rate functions.
        maturity_c_h: Temperature–time factor by each of `DATUMS_C`.
        strip_h: Hour from which every measure and the clock allow stripping; None where the log ends before it.
        left_h: Hours still to go at the last reading's temperature; 0 where `strip_h` is known, None below freezing.
        needed_h: Hours at 20 °C, and by the clock, that stripping takes.
        film_cold: Whether it was too cold for a curing polymer to form its film.
    """

    hours: float
    least_c: float
    most_c: float
    age_h: tuple[float, float]
    maturity_c_h: tuple[float, float]
    strip_h: float | None
    left_h: float | None
    needed_h: float
    film_cold: bool


def curing(history: History, needed_h: float = STRIP_H) -> Curing:
    """Work out what a log of temperatures tells.

    Args:
        history: Hours from the end of placing, and °C; at least two, hours rising.
        needed_h: Hours that stripping takes at 20 °C.

    Returns:
        The figures; the slowest measure decides.

    Raises:
        ProportionError: "not-finite", "negative", "out-of-range", "hours-not-rising".

    Source: ASTM C1074, equivalent age and temperature–time factor, and Freiesleben Hansen and Pedersen (1977), from
        memory.
    """
    measures = _measures(needed_h)
    last_c = history[-1][1]
    found = [measure(history) for measure, _, _ in measures]
    reached = [_reached_h(history, measure, needed) for measure, needed, _ in measures]
    left = [
        0.0 if have >= needed else (needed - have) / rate(last_c) if rate(last_c) else inf
        for have, (_, needed, rate) in zip(found, measures, strict=True)
    ]
    temperatures = [reading_c for _, reading_c in history]
    known = [at for at in reached if at is not None]
    return Curing(
        hours=history[-1][0] - history[0][0],
        least_c=min(temperatures),
        most_c=max(temperatures),
        age_h=(min(found[:2]), max(found[:2])),
        maturity_c_h=(found[2], found[3]),
        strip_h=max(known) if len(known) == len(reached) else None,
        left_h=None if max(left) == inf else max(left),
        needed_h=needed_h,
        film_cold=min(temperatures) < FILM_FORMING_C,
    )


def _measures(needed_h: float) -> tuple[_Measure, ...]:
    """Each measure, how much of it stripping takes, and how much an hour at a temperature brings."""

    def factor(datum_c: float) -> _Measure:
        return (
            lambda history: nurse_saul_c_h(history, datum_c=datum_c),
            needed_h * (REFERENCE_C - datum_c),
            lambda at_c: max(0.0, at_c - datum_c),
        )

    return (
        (equivalent_age_h, needed_h, energy_rate_ratio),
        (lambda history: equivalent_age_h(history, rate=constant_rate_ratio), needed_h, constant_rate_ratio),
        *(factor(datum_c) for datum_c in DATUMS_C),
        (lambda history: history[-1][0] - history[0][0] if history else 0.0, needed_h, lambda _: 1.0),
    )


def _reached_h(history: History, measure: Callable[[History], float], needed: float) -> float | None:
    """Hour at which a measure that only grows reaches what is needed; straight between two readings."""
    count = bisect_left(range(len(history)), needed, key=lambda index: measure(history[: index + 1]))
    if count >= len(history):
        return None
    before, after = measure(history[:count]), measure(history[: count + 1])
    from_h, to_h = history[count - 1][0], history[count][0]
    return from_h + (to_h - from_h) * (needed - before) / (after - before)
