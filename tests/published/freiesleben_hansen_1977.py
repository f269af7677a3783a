"""Freiesleben Hansen and Pedersen (1977), Maturity computer for controlled curing: rate function [mem].

Activation energy 33.5 kJ/mol from 20 °C up, 33.5 + 1.47(20 − T) below. Function and constants are from memory; the
rates are what that function gives, worked apart from this program to four decimals, with kelvin as °C + 273.15.
Tolerance: one in the last figure, for the gas constant's own rounding; 0.002 h in the sum over the history.
"""

from functools import partial

from mixstation.proportion.maturity import energy_rate_ratio, equivalent_age_h
from tests.published.case import PublishedCase

SOURCE = "Freiesleben Hansen and Pedersen (1977) [mem]"
RATES = ((10.0, 0.4974), (15.0, 0.7476), (25.0, 1.2592), (30.0, 1.5737), (35.0, 1.9524))
HISTORY = ((0, 20), (2, 22), (4, 28), (6, 34), (8, 32), (12, 26), (18, 22), (24, 20))

CASES: tuple[PublishedCase, ...] = (
    *(
        PublishedCase(
            source=SOURCE,
            place="rate function",
            what=f"rate at {temperature_c:g} °C over 20 °C",
            expected=printed,
            tolerance=0.0001,
            unit="",
            compute=partial(energy_rate_ratio, temperature_c),
            figure="worked out",
        )
        for temperature_c, printed in RATES
    ),
    PublishedCase(
        source=SOURCE,
        place="equivalent age, 24 h history, interval means",
        what="hours at 20 °C",
        expected=31.017,
        tolerance=0.002,
        unit="h",
        compute=lambda: equivalent_age_h(HISTORY),
        figure="worked out",
    ),
)
