"""Recipes that the pinned plans are made of: the shipped ones, made ones for what those leave out, and drawn ones."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path
from random import Random

from mixstation.recipe.file import load_recipe
from mixstation.recipe.model import (
    Basis,
    Cap,
    ConsistencyStep,
    Dose,
    Material,
    MixStep,
    NoteStep,
    Recipe,
    ReleaseStep,
    RestStep,
    Role,
    ScrapeStep,
    SplitStep,
    TemperatureStep,
    Tolerance,
    WaterRule,
)
from tests.plan.recipes import add, blend_recipe, material, raw_recipe

SHIPPED = ("bench_top", "hearth_plate", "planter_wall")
FOLDER = Path(__file__).parents[2] / "recipes"


def stated_blend() -> Recipe:
    """A blend that states its cement and binder, with a second powder, ice by dose and a polymer powder; no prices."""
    return Recipe(
        key="ledge",
        name="Ledge",
        revision="2",
        water=WaterRule(
            of=Basis.CEMENT,
            target=Fraction(44, 100),
            least=Fraction(40, 100),
            most=Fraction(46, 100),
            ceiling=Fraction(50, 100),
        ),
        materials=(
            material("water", Role.WATER, 998.0, water_fraction=Fraction(1)),
            material(
                "blend",
                Role.BLEND,
                2720.0,
                parts=Fraction(7),
                cement_fraction=Fraction(55, 100),
                binder_fraction=Fraction(62, 100),
                pack_mg=15_000_000,
            ),
            material(
                "chalk",
                Role.FILLER,
                5400.0,
                parts=Fraction(3, 2),
                cement_fraction=Fraction(0),
                binder_fraction=Fraction(0),
                tolerance=Tolerance(under=Fraction(0), over=Fraction(3, 100)),
            ),
            material(
                "ice",
                Role.ICE,
                917.0,
                dose=Dose(fraction=Fraction(4, 100), of=Basis.CEMENT),
                water_fraction=Fraction(1),
            ),
            material(
                "resin",
                Role.POLYMER,
                1150.0,
                dose=Dose(fraction=Fraction(25, 1000), of=Basis.POWDER),
                film_forming_c=5.0,
            ),
            material(
                "slate",
                Role.PIGMENT,
                4600.0,
                dose=Dose(fraction=Fraction(11, 1000), of=Basis.CEMENT),
                tolerance=Tolerance(under=Fraction(0), over=Fraction(0)),
            ),
            material("fibre", Role.FIBRE, 2680.0, dose=Dose(fraction=Fraction(18, 1000), of=Basis.TOTAL)),
            material("hair", Role.FIBRE, 910.0, dose=Dose(fraction=Fraction(2, 1000), of=Basis.TOTAL)),
        ),
        steps=(
            add("water"),
            add("ice"),
            add("slate", "1/2", "1/2", "slate-1"),
            add("blend"),
            add("chalk"),
            add("resin"),
            MixStep(key="mix", min_s=75, max_s=100, speed="slow"),
            add("slate", "1/2", "1", "slate-2"),
            add("fibre"),
            add("hair"),
        ),
        air_fraction=Fraction(7, 100),
        working_min=24,
    )


def liquid_colour() -> Recipe:
    """Every kind of step; two sands, one thirsty; a liquid and a late pigment; retarder; two layers split off."""
    powders = {"cement_fraction": Fraction(0), "binder_fraction": Fraction(0)}
    return Recipe(
        key="basin",
        name="Basin",
        revision="4",
        water=WaterRule(
            of=Basis.BINDER,
            target=Fraction(36, 100),
            least=Fraction(34, 100),
            most=Fraction(38, 100),
            ceiling=Fraction(42, 100),
        ),
        materials=(
            material(
                "water", Role.WATER, 1000.0, water_fraction=Fraction(1), pack_mg=5_000_000, price_cents=90
            ),
            material(
                "cement",
                Role.CEMENT,
                3050.0,
                parts=Fraction(8),
                cement_fraction=Fraction(1),
                binder_fraction=Fraction(1),
                pack_mg=20_000_000,
                price_cents=1125,
            ),
            material(
                "ash",
                Role.POZZOLAN,
                2300.0,
                parts=Fraction(3, 2),
                cement_fraction=Fraction(0),
                binder_fraction=Fraction(1),
                pack_mg=12_500_000,
                price_cents=830,
            ),
            material(
                "fine", Role.SAND, 2640.0, parts=Fraction(6), absorption_fraction=Fraction(2, 100), **powders
            ),
            material(
                "coarse",
                Role.SAND,
                2600.0,
                parts=Fraction(3),
                moisture_fraction=Fraction(5, 100),
                absorption_fraction=Fraction(1, 100),
                pack_mg=40_000_000,
                **powders,
            ),
            material(
                "retarder",
                Role.RETARDER,
                1150.0,
                dose=Dose(
                    fraction=Fraction(2, 1000),
                    of=Basis.CEMENT,
                    least=Fraction(1, 1000),
                    most=Fraction(4, 1000),
                ),
                cap=Cap(fraction=Fraction(6, 1000), of=Basis.CEMENT, source="its label"),
                water_fraction=Fraction(8, 10),
                pack_mg=1_000_000,
                price_cents=2100,
            ),
            material(
                "ink",
                Role.PIGMENT,
                1450.0,
                dose=Dose(fraction=Fraction(2, 100), of=Basis.CEMENT, counts="solids"),
                cap=Cap(fraction=Fraction(6, 100), of=Basis.CEMENT, source="its label"),
                water_fraction=Fraction(55, 100),
                pack_mg=2_000_000,
                price_cents=3300,
            ),
            material(
                "umber",
                Role.PIGMENT,
                3900.0,
                dose=Dose(fraction=Fraction(4, 1000), of=Basis.BINDER),
                tolerance=Tolerance(under=Fraction(1, 100), over=Fraction(4, 100)),
            ),
            material("fibre", Role.FIBRE, 2700.0, dose=Dose(fraction=Fraction(22, 1000), of=Basis.TOTAL)),
        ),
        steps=(
            add("water", "1/2", "1/2", "water-1"),
            add("retarder"),
            add("ink", "2/3", "2/3", "ink-1"),
            add("cement"),
            add("ash"),
            add("fine"),
            MixStep(key="mix", min_s=100, max_s=150, speed="fast"),
            ScrapeStep(key="scrape"),
            RestStep(key="rest", min_s=150, max_s=240),
            add("water", "1/4", "3/4", "water-2"),
            ConsistencyStep(key="look", method="spread", least=110, most=130),
            ReleaseStep(key="rest-of-water", material="water", increment=Fraction(1, 16), mix_s=45),
            TemperatureStep(key="warm", min_c=12.0, max_c=26.0),
            SplitStep(key="mist", layer="mist coat", fraction=Fraction(1, 10)),
            add("coarse"),
            NoteStep(key="note", say="Cover the bucket."),
            add("fibre"),
            SplitStep(key="back", layer="ribs", fraction=Fraction(3, 10)),
            add("umber"),
            add("ink", "1/3", "1", "ink-2"),
        ),
        air_fraction=Fraction(3, 100),
        working_min=41,
        currency="CHF",
    )


def drawn(seed: int) -> Recipe:
    """The recipe from raw materials with other proportions, dose kinds, bases and prices."""
    rng = Random(f"recipe {seed}")
    recipe = raw_recipe(split=rng.random() < 0.5)
    return replace(
        recipe,
        water=replace(
            recipe.water,
            of=rng.choice((Basis.BINDER, Basis.POWDER)),
            target=Fraction(rng.randint(30, 42), 100),
        ),
        materials=tuple(_changed(each, rng) for each in recipe.materials),
        air_fraction=Fraction(rng.randint(0, 120), 1000),
        working_min=rng.randint(18, 75),
        currency=rng.choice(("EUR", "")),
    )


def _changed(each: Material, rng: Random) -> Material:
    changed = replace(
        each,
        density_kg_m3=round(each.density_kg_m3 * rng.uniform(0.9, 1.1))
        if each.role is not Role.WATER
        else 1000.0,
        price_cents=rng.choice((each.price_cents, None, rng.randint(1, 9999))),
    )
    by_mass = rng.random() < 0.5
    powder_basis = rng.choice((Basis.CEMENT, Basis.BINDER, Basis.POWDER))
    match each.role:
        case Role.CEMENT:
            return replace(changed, parts=Fraction(rng.randint(60, 140), 10))
        case Role.SAND:
            damp = Fraction(rng.randint(0, 60), 1000)
            return replace(changed, parts=Fraction(rng.randint(20, 140), 10), moisture_fraction=damp)
        case Role.POLYMER:
            dose = Dose(
                fraction=Fraction(rng.randint(10, 70), 1000),
                of=powder_basis,
                counts="mass" if by_mass else "solids",
            )
            return replace(changed, dose=dose)
        case Role.PLASTICISER:
            return replace(changed, dose=Dose(fraction=Fraction(rng.randint(2, 12), 1000), of=powder_basis))
        case Role.PIGMENT:
            liquid = Fraction(rng.choice((0, 0, 6)), 10)
            dose = Dose(fraction=Fraction(rng.randint(5, 70), 1000), of=powder_basis)
            return replace(changed, dose=dose, water_fraction=liquid)
        case Role.FIBRE:
            return replace(changed, dose=Dose(fraction=Fraction(rng.randint(5, 40), 1000), of=Basis.TOTAL))
        case _:
            return changed


def _partly_stated(**stated: Fraction) -> Recipe:
    """The bagged blend, of which one thing is known."""
    recipe = blend_recipe()
    materials = tuple(replace(each, **stated) if each.key == "blend" else each for each in recipe.materials)
    return replace(recipe, materials=materials)


MADE: Mapping[str, Callable[[], Recipe]] = {
    "raw": lambda: raw_recipe(split=False),
    "raw split": raw_recipe,
    "blend": blend_recipe,
    "stated": stated_blend,
    "colour": liquid_colour,
    "cement stated": lambda: _partly_stated(cement_fraction=Fraction(6, 10)),
    "binder stated": lambda: _partly_stated(binder_fraction=Fraction(7, 10)),
    **{f"drawn {seed}": (lambda seed=seed: drawn(seed)) for seed in range(12)},
}
NAMES = (*SHIPPED, *MADE)


@cache
def recipe_named(name: str) -> Recipe:
    """One of `NAMES`."""
    return MADE[name]() if name in MADE else load_recipe(FOLDER / f"{name}.toml").recipe
