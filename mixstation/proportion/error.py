"""What a formula says when it cannot answer, and the checks every formula makes of what it is given.

Rules: a formula refuses what its arguments' ranges do not hold: "not-finite" for NaN and infinity, "negative" where it
says 0 or more, "not-positive" where it says above 0, "out-of-range" where it names both ends. Its docstring names only
what it refuses besides.
"""

import math

from mixstation.coded import Coded


class FigureTrouble(Coded):
    """A formula does not answer for a figure it was given.

    Attributes:
        name: The figure's name, which ends in its unit.
        found: The figure, in that unit.
    """

    name: str
    found: float


class NotFinite(FigureTrouble, code="not-finite"):
    """It is no number."""


class Negative(FigureTrouble, code="negative"):
    """It is below nought."""


class NotPositive(FigureTrouble, code="not-positive"):
    """It is nought or below."""


class OutOfRange(FigureTrouble, code="out-of-range"):
    """It is outside a closed range, whose ends are in the figure's unit."""

    least: float
    most: float


class WaterWouldFreeze(Coded, code="water-would-freeze"):
    """No liquid water is so cold."""

    needed_c: float
    wanted_c: float


class WaterWouldBoil(Coded, code="water-would-boil"):
    """No liquid water is so hot."""

    needed_c: float
    wanted_c: float


class IceOverWater(Coded, code="ice-over-water"):
    """It takes more ice than there is water."""

    ice_kg: float
    water_kg: float


class OverAirFree(Coded, code="denser-than-air-free"):
    """A mix measured denser than it is without air."""

    measured_kg_m3: float
    air_free_kg_m3: float


class HoursNotRising(Coded, code="hours-not-rising"):
    """An interval ends before it begins."""

    from_h: float
    to_h: float


Figure = NotFinite | Negative | NotPositive | OutOfRange
FormulaTrouble = Figure | WaterWouldFreeze | WaterWouldBoil | IceOverWater | OverAirFree | HoursNotRising


class ProportionError(ValueError):
    """A formula was given something it cannot answer for; `why` says what."""

    def __init__(self, why: FormulaTrouble) -> None:
        """Keep the trouble."""
        super().__init__(why.code, why)
        self.why = why


def need_finite(**amounts: float) -> None:
    """Refuse NaN and infinity.

    Raises:
        ProportionError: "not-finite", with the name and the number.
    """
    for name, amount in amounts.items():
        if not math.isfinite(amount):
            raise ProportionError(NotFinite(name=name, found=amount))


def need_not_negative(**amounts: float) -> None:
    """Refuse NaN, infinity and anything below nought.

    Raises:
        ProportionError: "not-finite" or "negative", with the name and the number.
    """
    need_finite(**amounts)
    for name, amount in amounts.items():
        if amount < 0:
            raise ProportionError(Negative(name=name, found=amount))


def need_positive(**amounts: float) -> None:
    """Refuse NaN, infinity, nought and anything below it.

    Raises:
        ProportionError: "not-finite" or "not-positive", with the name and the number.
    """
    need_finite(**amounts)
    for name, amount in amounts.items():
        if amount <= 0:
            raise ProportionError(NotPositive(name=name, found=amount))


def need_between(least: float, most: float, **amounts: float) -> None:
    """Refuse NaN and anything outside a closed range.

    Raises:
        ProportionError: "not-finite" or "out-of-range", with the name, the number and the range.
    """
    need_finite(**amounts)
    for name, amount in amounts.items():
        if not least <= amount <= most:
            raise ProportionError(OutOfRange(name=name, found=amount, least=least, most=most))
