"""Recipes as the trade passes them on, sent through a plan [practice].

Three, none with a source that can be named: a premix (50 kg cement, 50 sand, 5 polymer emulsion of 50 % solids, 0.5
plasticiser with 70 % water, 14.5 water, 3 % fibre of 2680 kg/m³); a bench-top recipe (water 2.95 kg, polymer
liquid 1.13 kg of 50 % solids, binder 10.66 kg of which cement 7.94); a recipe whose 57.7 lb are said to fill 1/3
ft³. The recipes are common practice, no source; the ratios and densities are worked out from them, apart from this
program, and rounded as shown. Tolerance: half the last figure; one figure more for water over cement, which the
recipe cuts instead of rounding; for the fresh density one figure in the last place.
"""

from fractions import Fraction
from typing import Literal

from mixstation.plan.batch_size import mix_density_kg_m3
from mixstation.plan.checks import YieldClaim, check_claim
from mixstation.plan.water_ratios import water_ratios
from mixstation.recipe.model import Basis, Dose, Material, Recipe, Role, Tolerance, WaterRule
from mixstation.recipe.proportions import whole_totals
from tests.published.case import PublishedCase

SOURCE = "common practice, no source [practice]"
CUBIC_FOOT_L = 28.316846592
POUND_KG = 0.45359237
EVEN = Tolerance(under=Fraction(1, 100), over=Fraction(1, 100))


def powder(key: str, role: Role, parts: str, density_kg_m3: float, cement: int, binder: int) -> Material:
    return Material(
        key=key,
        name=key,
        role=role,
        tolerance=EVEN,
        density_kg_m3=density_kg_m3,
        parts=Fraction(parts),
        cement_fraction=Fraction(cement),
        binder_fraction=Fraction(binder),
    )


def liquid(key: str, role: Role, fraction: Fraction, water: str, density_kg_m3: float) -> Material:
    return Material(
        key=key,
        name=key,
        role=role,
        tolerance=EVEN,
        density_kg_m3=density_kg_m3,
        dose=Dose(fraction=fraction, of=Basis.CEMENT),
        water_fraction=Fraction(water),
    )


def recipe(all_water: Fraction, air: str, *materials: Material) -> Recipe:
    water = Material(
        key="water",
        name="water",
        role=Role.WATER,
        tolerance=EVEN,
        density_kg_m3=998.2,
        water_fraction=Fraction(1),
    )
    rule = WaterRule(of=Basis.CEMENT, target=all_water, least=all_water, most=all_water, ceiling=all_water)
    return Recipe(
        key="printed",
        name="printed",
        revision="",
        water=rule,
        materials=(water, *materials),
        steps=(),
        air_fraction=Fraction(air),
        working_min=30,
    )


def premix(air: str = "0.04", *, plasticiser_counts: bool = True) -> Recipe:
    carried = Fraction("2.5") + (Fraction("0.35") if plasticiser_counts else 0)
    return recipe(
        (Fraction("14.5") + carried) / 50,
        air,
        powder("cement", Role.CEMENT, "50", 3150, 1, 1),
        powder("sand", Role.SAND, "50", 2650, 0, 0),
        liquid("emulsion", Role.POLYMER, Fraction(5, 50), "0.5", 1060),
        liquid("plasticiser", Role.PLASTICISER, Fraction(1, 100), "0.7" if plasticiser_counts else "0", 1080),
        Material(
            key="fibre",
            name="fibre",
            role=Role.FIBRE,
            tolerance=EVEN,
            density_kg_m3=2680,
            dose=Dose(fraction=Fraction(3, 100), of=Basis.TOTAL),
        ),
    )


def bench_top() -> Recipe:
    return recipe(
        (Fraction("2.95") + Fraction("1.13") / 2) / Fraction("7.94"),
        "0.05",
        powder("cement", Role.CEMENT, "7.94", 3150, 1, 1),
        powder("pozzolan", Role.POZZOLAN, "2.72", 2500, 0, 1),
        liquid("polymer", Role.POLYMER, Fraction("1.13") / Fraction("7.94"), "0.5", 1060),
    )


def ratio(of: Recipe, water: Literal["added", "all"], basis: Basis) -> float:
    found = water_ratios(of, whole_totals(of, 100_000_000))
    return float(next(each.ratio for each in found if (each.water, each.of) == (water, basis)))


def claimed_lb_ft3() -> float:
    claim = YieldClaim(mass_mg=round(57.7 * POUND_KG * 1e6), of="mix", claimed_l=CUBIC_FOOT_L / 3)
    found = check_claim(bench_top(), claim)
    return found.implied_kg_m3 * CUBIC_FOOT_L / POUND_KG / 1000 if found.contradicted else 0.0


PREMIX = "premix"
BENCH = "bench-top recipe"

CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source=SOURCE,
        place=PREMIX,
        what="added water over cement",
        expected=0.290,
        tolerance=0.0005,
        unit="",
        compute=lambda: ratio(premix(), "added", Basis.CEMENT),
        figure="worked out",
    ),
    PublishedCase(
        source=SOURCE,
        place=PREMIX,
        what="water over cement with the emulsion's",
        expected=0.340,
        tolerance=0.0005,
        unit="",
        compute=lambda: ratio(premix(plasticiser_counts=False), "all", Basis.CEMENT),
        figure="worked out",
    ),
    PublishedCase(
        source=SOURCE,
        place=PREMIX,
        what="water over cement with the plasticiser's too",
        expected=0.347,
        tolerance=0.0005,
        unit="",
        compute=lambda: ratio(premix(), "all", Basis.CEMENT),
        figure="worked out",
    ),
    PublishedCase(
        source=SOURCE,
        place=PREMIX,
        what="fresh density with 4 % air",
        expected=2127,
        tolerance=1,
        unit="kg/m³",
        compute=lambda: mix_density_kg_m3(premix()),
        figure="worked out",
    ),
    PublishedCase(
        source=SOURCE,
        place=PREMIX,
        what="air-free density",
        expected=2216,
        tolerance=1,
        unit="kg/m³",
        compute=lambda: mix_density_kg_m3(premix("0")),
        figure="worked out",
    ),
    PublishedCase(
        source=SOURCE,
        place=BENCH,
        what="added water over binder",
        expected=0.277,
        tolerance=0.0005,
        unit="",
        compute=lambda: ratio(bench_top(), "added", Basis.BINDER),
        figure="worked out",
    ),
    PublishedCase(
        source=SOURCE,
        place=BENCH,
        what="all water over binder",
        expected=0.330,
        tolerance=0.0005,
        unit="",
        compute=lambda: ratio(bench_top(), "all", Basis.BINDER),
        figure="worked out",
    ),
    PublishedCase(
        source=SOURCE,
        place=BENCH,
        what="added water over cement",
        expected=0.371,
        tolerance=0.001,
        unit="",
        compute=lambda: ratio(bench_top(), "added", Basis.CEMENT),
        figure="worked out",
    ),
    PublishedCase(
        source=SOURCE,
        place=BENCH,
        what="all water over cement",
        expected=0.443,
        tolerance=0.0005,
        unit="",
        compute=lambda: ratio(bench_top(), "all", Basis.CEMENT),
        figure="worked out",
    ),
    PublishedCase(
        source=SOURCE,
        place="a recipe with a yield",
        what="density implied by 57.7 lb in 1/3 ft³, contradicted (0 where it is not)",
        expected=173,
        tolerance=0.5,
        unit="lb/ft³",
        compute=claimed_lb_ft3,
        figure="worked out",
    ),
)
