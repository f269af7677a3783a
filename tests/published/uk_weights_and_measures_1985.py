"""Weights and Measures Act 1985 (UK, c. 72), Schedule 1, Part IV, units of capacity.

Read: [std] for the gallon of 4.54609 cubic decimetres, the quart of a quarter of it and the fluid ounce of a
twentieth of a pint, as quoted from the Act; [mem] for the pint in cubic decimetres. Quart and fluid ounce are worked
out from those parts.
Tolerance: 0, they are definitions.
"""

from functools import partial

from mixstation.units.quantity import read_quantity
from mixstation.units.tables import UNITS_BY_KEY
from tests.published.case import Figure, PublishedCase


def _litres(key: str) -> float:
    return float(read_quantity(f"1 {key}", UNITS_BY_KEY[key].dimension, None) / 1_000)


def _case(what: str, key: str, expected: float, mark: str, figure: Figure = "printed") -> PublishedCase:
    return PublishedCase(
        source=f"Weights and Measures Act 1985 (UK) {mark}",
        place="Schedule 1, Part IV",
        what=what,
        expected=expected,
        tolerance=0.0,
        unit="dm³",
        compute=partial(_litres, key),
        figure=figure,
    )


CASES: tuple[PublishedCase, ...] = (
    _case("gallon", "imp gal", 4.54609, "[std]"),
    _case("quart, 1/4 gallon", "imp qt", 1.1365225, "[std]", "worked out"),
    _case("pint", "imp pt", 0.56826125, "[mem]"),
    _case("fluid ounce, 1/20 pint", "imp fl oz", 0.0284130625, "[std]", "worked out"),
)
