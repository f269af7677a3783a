"""Lerch (1957), Plastic Shrinkage, Journal of the ACI 53, and PCA after him: table of drying by weather [mem].

Rates in lb/ft²/h by wind, humidity and temperatures, in four groups. Read from memory. The table was read off a
chart. Tolerance: 0.006, the width of its lines. At 100 °F it prints 0.180 where the formula gives 0.155: the chart and
its formula part there, so that row is told as a disagreement and counts for nothing.
"""

from functools import partial

from mixstation.proportion.drying import evaporation_kg_m2_h
from tests.published.case import PublishedCase

SOURCE = "Lerch (1957), Plastic Shrinkage [mem]"
POUND_PER_SQUARE_FOOT_KG_M2 = 0.45359237 / 0.3048**2
MILE_KM = 1.609344

# group, concrete °F, air °F, humidity, wind mph, printed lb/ft²/h
ROWS: tuple[tuple[str, float, float, float, float, float], ...] = (
    ("wind", 70, 70, 0.70, 0, 0.015),
    ("wind", 70, 70, 0.70, 5, 0.038),
    ("wind", 70, 70, 0.70, 10, 0.062),
    ("wind", 70, 70, 0.70, 15, 0.085),
    ("wind", 70, 70, 0.70, 20, 0.110),
    ("wind", 70, 70, 0.70, 25, 0.135),
    ("humidity", 70, 70, 0.90, 10, 0.020),
    ("humidity", 70, 70, 0.50, 10, 0.100),
    ("humidity", 70, 70, 0.30, 10, 0.135),
    ("humidity", 70, 70, 0.10, 10, 0.175),
    ("both temperatures", 50, 50, 0.70, 10, 0.026),
    ("both temperatures", 60, 60, 0.70, 10, 0.043),
    ("both temperatures", 80, 80, 0.70, 10, 0.077),
    ("both temperatures", 90, 90, 0.70, 10, 0.110),
    ("both temperatures", 100, 100, 0.70, 10, 0.180),
    ("air temperature", 70, 80, 0.70, 10, 0.000),
    ("air temperature", 70, 50, 0.70, 10, 0.125),
    ("air temperature", 70, 30, 0.70, 10, 0.165),
)


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


def pounds(concrete_f: float, air_f: float, humidity: float, wind_mph: float) -> float:
    rate_kg_m2_h = evaporation_kg_m2_h(
        surface_c=celsius(concrete_f),
        air_c=celsius(air_f),
        humidity_fraction=humidity,
        wind_kmh=wind_mph * MILE_KM,
    )
    return rate_kg_m2_h / POUND_PER_SQUARE_FOOT_KG_M2


CASES: tuple[PublishedCase, ...] = tuple(
    PublishedCase(
        source=SOURCE,
        place=f"table, group on {group}",
        what=f"concrete {concrete_f} °F, air {air_f} °F, {humidity:.0%}, {wind_mph} mph",
        expected=printed,
        tolerance=0.006,
        unit="lb/ft²/h",
        compute=partial(pounds, concrete_f, air_f, humidity, wind_mph),
        figure="disagrees" if concrete_f == 100 else "printed",
    )
    for group, concrete_f, air_f, humidity, wind_mph, printed in ROWS
)
