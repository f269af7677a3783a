"""ASTM C1074, maturity functions: equivalent age with Q = 5000 K, and temperature–time factor [mem].

Functions and constants are from memory of the standard; no value is printed here: they are what those give, worked
out apart from this program, with kelvin as °C + 273. This program takes kelvin as °C + 273.15. Tolerance: 0.002 in
a rate and 0.02 h in the equivalent age, what that difference comes to; none in the temperature–time factor, which
has no kelvin in it.
"""

from functools import partial

from mixstation.proportion.maturity import constant_rate_ratio, equivalent_age_h, nurse_saul_c_h
from tests.published.case import PublishedCase

SOURCE = "ASTM C1074 [mem]"
RATES = ((10.0, 0.5472), (15.0, 0.7436), (25.0, 1.3315), (30.0, 1.7563), (35.0, 2.2958))
HISTORY = ((0, 20), (2, 22), (4, 28), (6, 34), (8, 32), (12, 26), (18, 22), (24, 20))

CASES: tuple[PublishedCase, ...] = (
    *(
        PublishedCase(
            source=SOURCE,
            place="equivalent age, Q = 5000 K",
            what=f"rate at {temperature_c:g} °C over 20 °C",
            expected=printed,
            tolerance=0.002,
            unit="",
            compute=partial(constant_rate_ratio, temperature_c),
            figure="worked out",
        )
        for temperature_c, printed in RATES
    ),
    PublishedCase(
        source=SOURCE,
        place="equivalent age, 24 h history, interval means",
        what="hours at 20 °C",
        expected=33.181,
        tolerance=0.02,
        unit="h",
        compute=lambda: equivalent_age_h(HISTORY, rate=constant_rate_ratio),
        figure="worked out",
    ),
    PublishedCase(
        source=SOURCE,
        place="temperature–time factor, the same history",
        what="datum 0 °C",
        expected=606,
        tolerance=0,
        unit="°C·h",
        compute=lambda: nurse_saul_c_h(HISTORY, datum_c=0),
        figure="worked out",
    ),
    PublishedCase(
        source=SOURCE,
        place="temperature–time factor, the same history",
        what="datum −10 °C",
        expected=846,
        tolerance=0,
        unit="°C·h",
        compute=lambda: nurse_saul_c_h(HISTORY, datum_c=-10),
        figure="worked out",
    ),
)
