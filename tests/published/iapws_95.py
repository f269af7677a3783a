"""IAPWS-95 formulation for ordinary water: density at one atmosphere, and saturation pressure [mem].

Values from memory of its tables. Density tolerance: half the last printed figure and 0.001 between IAPWS and the
CIPM formula. Saturation pressure tolerance: 0.8 %, half the last figure of the first constant of the short exponential
form, 0.61 kPa.
"""

from functools import partial

from mixstation.proportion.density import water_density_kg_m3
from mixstation.proportion.drying import saturation_vapour_kpa
from tests.published.case import PublishedCase

SOURCE = "IAPWS-95 [mem]"
DENSITIES = ((10, 999.70), (20, 998.21), (25, 997.05), (30, 995.65))
PRESSURES = ((10, 1.2282), (20, 2.3393), (25, 3.1699), (30, 4.2470))

CASES: tuple[PublishedCase, ...] = (
    *(
        PublishedCase(
            source=SOURCE,
            place="liquid at 101.325 kPa",
            what=f"density of water at {temperature_c} °C",
            expected=printed,
            tolerance=0.006,
            unit="kg/m³",
            compute=partial(water_density_kg_m3, temperature_c),
        )
        for temperature_c, printed in DENSITIES
    ),
    *(
        PublishedCase(
            source=SOURCE,
            place="saturation",
            what=f"vapour pressure at {temperature_c} °C",
            expected=printed,
            tolerance=printed * 0.005 / 0.61,
            unit="kPa",
            compute=partial(saturation_vapour_kpa, temperature_c),
        )
        for temperature_c, printed in PRESSURES
    ),
)
