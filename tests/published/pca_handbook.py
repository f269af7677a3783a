"""PCA, Design and Control of Concrete Mixtures, table on the effect of material temperatures and ice [mem].

Cement 335 kg at 66 °C, water 123 kg at 27 °C, aggregate 1839 kg at 27 °C; then 44 kg of ice more. Read from memory.
Tolerance: half the last printed figure without ice; 0.1 °C with ice, because the table works in kilojoules with a
latent heat of 335 kJ/kg where the formula has 79.6 times the heat of water.
"""

from mixstation.proportion.temperature import Charge, mix_temperature_c
from tests.published.case import PublishedCase

SOURCE = "PCA, Design and Control of Concrete Mixtures [mem]"
PLACE = "table, effect of temperature of materials"
SOLIDS = (Charge(mass_kg=335, temperature_c=66), Charge(mass_kg=1839, temperature_c=27))
WATER = (Charge(mass_kg=123, temperature_c=27),)

CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="without ice",
        expected=31.8,
        tolerance=0.05,
        unit="°C",
        compute=lambda: mix_temperature_c(solids=SOLIDS, waters=WATER),
    ),
    PublishedCase(
        source=SOURCE,
        place=PLACE,
        what="with 44 kg ice",
        expected=24.1,
        tolerance=0.1,
        unit="°C",
        compute=lambda: mix_temperature_c(solids=SOLIDS, waters=WATER, ice_kg=44),
    ),
)
