"""ACI 305R, temperature of fresh concrete: a published worked example of its formula [mem].

Aggregate 2000 kg at 41 °C, cement 375 kg at 46.2 °C, water 180 kg at 35 °C. The formula was seen quoted in several
texts; the example's title was not kept. Tolerance: half the last printed figure.
"""

from mixstation.proportion.temperature import Charge, mix_temperature_c
from tests.published.case import PublishedCase

CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source="ACI 305R, published worked example [mem]",
        place="temperature of fresh concrete, no ice",
        what="2000 kg at 41, 375 kg at 46.2, water 180 kg at 35 °C",
        expected=40.1,
        tolerance=0.05,
        unit="°C",
        compute=lambda: mix_temperature_c(
            solids=[Charge(mass_kg=2000, temperature_c=41), Charge(mass_kg=375, temperature_c=46.2)],
            waters=[Charge(mass_kg=180, temperature_c=35)],
        ),
    ),
)
