"""ACI 211.1-91, the first worked example, in both unit systems [mem].

Chapter 7, example 1 (inch-pound) and the same example in the metric appendix: water, water ratio, coarse aggregate,
air, then sand by absolute volume, then the correction for moisture, all sent through a recipe. Read from memory of the
document and recomputed; not read in print. Tolerance: half the last printed figure; for the sand what half the last
figure of its volume weighs, because the document rounds volumes before weighing: 0.005 ft³ is 0.8 lb, 0.0005 m³ is
1.3 kg; for the volume of the batch what rounding the four printed volumes to 0.01 ft³ can add up to.
"""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from mixstation.proportion.volume import absolute_volume_l
from mixstation.recipe.model import Recipe
from mixstation.recipe.proportions import volume_l
from tests.published.case import PublishedCase
from tests.published.concrete import (
    CUBIC_FOOT_L,
    KILOGRAM_MG,
    POUND_MG,
    WATER_KG_M3,
    YARD_L,
    concrete,
    for_volume,
    powder,
    with_cement,
)

SOURCE = "ACI 211.1-91 [mem]"
GRAVITY = {"water": 1.0, "cement": 3.15, "coarse": 2.68, "sand": 2.64}
MOISTURE = {"coarse": ("0.02", "0.005"), "sand": ("0.06", "0.007")}


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """The example in one system: masses per yard or cubic metre, the sand dry and by absolute volume."""

    place: str
    unit: str
    unit_mg: Fraction
    water_kg_m3: float
    water: int
    coarse: int
    sand: int
    damp_sand: int

    @property
    def cement(self) -> Fraction:
        """By the water ratio of 0.62."""
        return Fraction(self.water * 100, 62)

    def recipe(self, *, damp: bool) -> Recipe:
        """With the sand by volume, or with the larger one the text corrects for moisture."""
        sand = self.damp_sand if damp else self.sand
        aggregates = [
            powder(key, parts, GRAVITY[key] * self.water_kg_m3, moisture=moisture, absorption=absorption)
            for key, parts in (("coarse", self.coarse), ("sand", sand))
            for moisture, absorption in (MOISTURE[key] if damp else ("0", "0"),)
        ]
        cement = powder("cement", self.cement, GRAVITY["cement"] * self.water_kg_m3)
        return concrete(cement, *aggregates, water_parts=self.water, water_kg_m3=self.water_kg_m3, air="0.01")

    def weighed(self, key: str) -> float:
        """What is weighed of a material where the aggregates are damp."""
        masses = with_cement(self.recipe(damp=True), self.cement * self.unit_mg)
        return float(masses[key] / self.unit_mg)

    def litres(self, key: str) -> float:
        """Absolute volume of the printed mass of a material."""
        mass = {"water": self.water, "cement": self.cement, "coarse": self.coarse}[key]
        density = GRAVITY[key] * self.water_kg_m3
        return absolute_volume_l(float(mass * self.unit_mg) / 1e6, density_kg_m3=density)

    def sand_filling(self, litres: float) -> float:
        """Sand of a batch of a volume."""
        return float(for_volume(self.recipe(damp=False), litres)["sand"] / self.unit_mg)


POUNDS = Example(
    place="chapter 7, example 1",
    unit="lb",
    unit_mg=POUND_MG,
    water_kg_m3=WATER_KG_M3,
    water=300,
    coarse=1917,
    sand=1318,
    damp_sand=1369,
)
KILOGRAMS = Example(
    place="metric appendix, example 1",
    unit="kg",
    unit_mg=KILOGRAM_MG,
    water_kg_m3=1000.0,
    water=181,
    coarse=1136,
    sand=771,
    damp_sand=801,
)


def batch_ft3() -> float:
    recipe = POUNDS.recipe(damp=False)
    return volume_l(recipe, with_cement(recipe, POUNDS.cement * POUND_MG)) / CUBIC_FOOT_L


def cubic_feet(key: str) -> float:
    return POUNDS.litres(key) / CUBIC_FOOT_L


def cubic_metres(key: str) -> float:
    return KILOGRAMS.litres(key) / 1000


def case(
    of: Example, what: str, expected: float, tolerance: float, compute: Callable[[], float], unit: str = ""
) -> PublishedCase:
    return PublishedCase(
        source=SOURCE,
        place=of.place,
        what=what,
        expected=expected,
        tolerance=tolerance,
        unit=unit or of.unit,
        compute=compute,
    )


CASES: tuple[PublishedCase, ...] = (
    case(POUNDS, "volume of 300 lb water", 4.81, 0.005, partial(cubic_feet, "water"), "ft³"),
    case(POUNDS, "volume of 484 lb cement, G 3.15", 2.46, 0.005, partial(cubic_feet, "cement"), "ft³"),
    case(
        POUNDS,
        "volume of 1917 lb coarse aggregate, G 2.68",
        11.46,
        0.005,
        partial(cubic_feet, "coarse"),
        "ft³",
    ),
    case(POUNDS, "sand by absolute volume, air 1 %", 1318, 0.8, partial(POUNDS.sand_filling, YARD_L)),
    case(POUNDS, "volume of the batch with 1 % air", 27.0, 0.02, batch_ft3, "ft³"),
    case(POUNDS, "wet coarse aggregate, 1917 lb at 2 %", 1955, 0.5, partial(POUNDS.weighed, "coarse")),
    case(POUNDS, "wet sand, 1369 lb at 6 %", 1451, 0.5, partial(POUNDS.weighed, "sand")),
    case(
        POUNDS,
        "water to add once the aggregates' free water is off",
        199,
        0.5,
        partial(POUNDS.weighed, "water"),
    ),
    case(KILOGRAMS, "volume of 292 kg cement, G 3.15", 0.093, 0.0005, partial(cubic_metres, "cement"), "m³"),
    case(
        KILOGRAMS,
        "volume of 1136 kg coarse aggregate, G 2.68",
        0.424,
        0.0005,
        partial(cubic_metres, "coarse"),
        "m³",
    ),
    case(KILOGRAMS, "sand by absolute volume, air 1 %", 771, 1.3, partial(KILOGRAMS.sand_filling, 1000.0)),
    case(KILOGRAMS, "wet coarse aggregate, 1136 kg at 2 %", 1159, 0.5, partial(KILOGRAMS.weighed, "coarse")),
    case(KILOGRAMS, "wet sand, 801 kg at 6 %", 849, 0.5, partial(KILOGRAMS.weighed, "sand")),
    case(
        KILOGRAMS,
        "water to add once the aggregates' free water is off",
        122,
        0.5,
        partial(KILOGRAMS.weighed, "water"),
    ),
)
