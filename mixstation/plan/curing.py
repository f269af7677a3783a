"""How far a piece has cured by its temperatures: when it is as old as a day at 20 °C, and may be stripped."""

from bisect import bisect_left
from collections.abc import Callable, Sequence

from mixstation.frozen import Frozen
from mixstation.proportion.maturity import (
    REFERENCE_C,
    constant_rate_ratio,
    energy_rate_ratio,
    equivalent_age_h,
    nurse_saul_c_h,
)
from mixstation.proportion.temperature import FILM_FORMING_C

STRIP_H = 24.0
"""A piece is stripped at the strength of a day at 20 °C, and not before a day by the clock, however warm it was.

Source: Common practice, no source: polymer, plasticiser and a cool night are in no formula.
"""

FIRM_H = 1.0
"""The face firms up so long after stripping before wet sanding by hand. Source: Common practice, no source."""

DATUMS_C = (0.0, -10.0)
"""Where setting stops. Source: ASTM C1074 and common practice, from memory: 0 °C, and −10 °C by older texts."""

History = Sequence[tuple[float, float]]


class Curing(Frozen):
    """What a log of temperatures tells.

    Attributes:
        age_h: Hours at 20 °C that do as much, least and most by the two rate functions.
        maturity_c_h: Temperature–time factor by each of `DATUMS_C`.
        strip_h: Hour from which every measure and the clock allow stripping; None where the log ends before it.
        left_h: Hours still to go at the last reading's temperature; 0 where `strip_h` is known, None below freezing.
        film_cold: Whether it was too cold for a curing polymer to form its film.
    """

    hours: float
    least_c: float
    most_c: float
    age_h: tuple[float, float]
    maturity_c_h: tuple[float, float]
    strip_h: float | None
    left_h: float | None
    film_cold: bool


def curing(history: History) -> Curing:
    """Work out what a log of temperatures tells.

    Args:
        history: Hours from the end of placing, and °C; at least two, hours rising.

    Returns:
        The figures; the slowest measure decides.

    Raises:
        ProportionError: "not-finite", "negative", "out-of-range", "hours-not-rising".

    Source: ASTM C1074, equivalent age and temperature–time factor, and Freiesleben Hansen and Pedersen (1977), from
        memory.
    """
    measures: tuple[tuple[Callable[[History], float], float, float], ...] = (
        (equivalent_age_h, STRIP_H, energy_rate_ratio(history[-1][1])),
        (
            lambda part: equivalent_age_h(part, rate=constant_rate_ratio),
            STRIP_H,
            constant_rate_ratio(history[-1][1]),
        ),
        *(
            (
                lambda part, datum_c=datum_c: nurse_saul_c_h(part, datum_c=datum_c),
                STRIP_H * (REFERENCE_C - datum_c),
                max(0.0, history[-1][1] - datum_c),
            )
            for datum_c in DATUMS_C
        ),
        (lambda part: part[-1][0] - part[0][0] if part else 0.0, STRIP_H, 1.0),
    )
    found = [measure(history) for measure, _, _ in measures]
    reached = [_reached_h(history, measure, needed) for measure, needed, _ in measures]
    left = [
        0.0 if have >= needed else (needed - have) / rate if rate else float("inf")
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
        left_h=None if max(left) == float("inf") else max(left),
        film_cold=min(temperatures) < FILM_FORMING_C,
    )


def _reached_h(history: History, measure: Callable[[History], float], needed: float) -> float | None:
    """Hour at which a measure that only grows reaches what is needed; straight between two readings."""
    count = bisect_left(range(len(history)), needed, key=lambda index: measure(history[: index + 1]))
    if count >= len(history):
        return None
    before, after = measure(history[:count]), measure(history[: count + 1])
    from_h, to_h = history[count - 1][0], history[count][0]
    return from_h + (to_h - from_h) * (needed - before) / (after - before)
