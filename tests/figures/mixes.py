"""Mixes that the ledgers are worked out with: the shipped recipes, those of the tests, and more made from them."""

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
    Material,
    Recipe,
    ReleaseStep,
    RestStep,
    Role,
    ScrapeStep,
    SplitStep,
    Step,
    TemperatureStep,
)
from tests.batch import recipes
from tests.batch.recipes import WATER, add, dose, f, g, kg, material, mix, rule, with_material, with_step
from tests.batch.ways import bucket

Mix = tuple[Recipe, Mapping[str, int]]

SHIPPED = Path(__file__).parents[2] / "recipes"


@cache
def shipped(name: str) -> Mix:
    """A recipe that comes with the program, some 12 kg of its powders."""
    recipe = load_recipe(SHIPPED / f"{name}.toml").recipe
    parts = {item.key: item.parts for item in recipe.materials if item.parts is not None}
    whole = sum(parts.values())
    return recipe, {key: round(kg(12) * share / whole) for key, share in parts.items()}


def _ways(recipe: Recipe, powders_kg: Mapping[str, int | Fraction]) -> Mix:
    return recipe, {key: round(mass * kg(1)) for key, mass in powders_kg.items()}


def iced() -> Mix:
    """Raw materials with a little ice among the materials, of a mix that may be loosened by any powder."""
    ice = material("ice", Role.ICE)
    return replace(recipes.RAW, materials=(*recipes.RAW.materials, ice)), recipes.RAW_POWDERS


def chips() -> Mix:
    """Two fibres, two layers, a filler, a retarder; a plasticiser let in bit by bit; every way to judge it."""
    found = recipes.recipe(
        "stair nosing",
        rule(Basis.CEMENT, "0.4", "0.36", "0.44", "0.48"),
        (
            WATER,
            material("cement", Role.CEMENT, parts=Fraction(2)),
            material("limestone", Role.FILLER, parts=Fraction(1), price_cents=900, pack_mg=kg(25)),
            material("sand", Role.SAND, parts=Fraction(2), moisture_fraction=f("0.004")),
            material("brake", Role.RETARDER, dose=dose("0.002", Basis.CEMENT), water_fraction=f("0.9")),
            material(
                "flow",
                Role.PLASTICISER,
                dose=dose("0.01", Basis.POWDER, "0.008", "0.015"),
                cap=Cap(fraction=f("0.03"), of=Basis.CEMENT, source="its label"),
                water_fraction=f("0.7"),
            ),
            material("short", Role.FIBRE, dose=dose("0.02", Basis.TOTAL)),
            material("long", Role.FIBRE, dose=dose("0.01", Basis.TOTAL, "0.008", "0.012")),
        ),
        (
            RestStep(key="soak", min_s=0, max_s=60),
            add("water-1", "water", "0.5", "0.5"),
            add("brake", "brake"),
            add("cement-1", "cement", "0.3", "0.3"),
            add("cement-2", "cement", "0.3", "0.6"),
            add("cement-3", "cement", "0.4", "1"),
            add("limestone", "limestone"),
            add("sand", "sand"),
            mix("mix", 40, 80),
            add("water-2", "water", "0.3", "0.8"),
            mix("mix-2", 40, 80),
            ReleaseStep(key="flow", material="flow", increment=f("1/3"), mix_s=15),
            ConsistencyStep(key="flow-least", method="flow", least=180),
            ReleaseStep(key="release", material="water", increment=f("1/4"), mix_s=20),
            ConsistencyStep(key="rings-most", method="rings", most=6),
            RestStep(key="rest", min_s=60, max_s=120),
            mix("remix", 10, 20),
            TemperatureStep(key="warm", max_c=30.0),
            TemperatureStep(key="cold", min_c=5.5),
            TemperatureStep(key="any"),
            SplitStep(key="face", layer="face coat", fraction=f("0.25")),
            ScrapeStep(key="scrape"),
            add("short", "short"),
            SplitStep(key="edge", layer="edge", fraction=f("1/3")),
            add("long", "long", "0.5", "0.5"),
            mix("fold", 20, 40, "slow"),
            add("long-2", "long", "0.5", "1"),
            mix("fold-2", 20, 40, "slow"),
        ),
        air="0.04",
        working_min=45,
    )
    return found, {"cement": kg(5), "limestone": kg("2.5"), "sand": kg(5)}


def exact() -> Mix:
    """A blend whose every limit is a round mass: 10 kg, water 1.3 to 1.5 kg of 1.4, fibre 2 % of the blend."""
    found = recipes.recipe(
        "round figures",
        rule(Basis.POWDER, "0.14", "0.13", "0.15", "0.16"),
        (
            WATER,
            material(
                "blend", Role.BLEND, parts=Fraction(1), cement_fraction=f("0.4"), binder_fraction=f("0.5")
            ),
            material(
                "shade",
                Role.PIGMENT,
                dose=dose("0.02", Basis.POWDER),
                cap=Cap(fraction=f("0.03"), of=Basis.POWDER, source="its label"),
            ),
            material("fibre", Role.FIBRE, dose=dose("0.02", Basis.POWDER, "0.018", "0.024")),
        ),
        (
            add("water-1", "water", "0.5", "0.5"),
            add("blend-1", "blend", "0.5", "0.5"),
            add("blend-2", "blend", "0.5", "1"),
            add("shade", "shade"),
            mix("mix", 60, 120),
            ReleaseStep(key="release", material="water", increment=f("0.1"), mix_s=30),
            ScrapeStep(key="scrape"),
            add("fibre", "fibre"),
            mix("fold", 30, 60, "slow"),
        ),
    )
    return found, {"blend": kg(10)}


def thick() -> Mix:
    """The raw mix with a plasticiser without a band, a polymer counted by its mass, and fibre of the powder."""
    found = with_material(recipes.RAW, "plasticiser", dose=dose("0.006", Basis.CEMENT))
    found = with_material(found, "emulsion", dose=dose("0.1", Basis.POWDER), film_forming_c=5.0)
    found = with_material(found, "fibre", dose=dose("0.03", Basis.POWDER))
    found = with_step(found, "release", increment=f("0.12"), mix_s=40)
    return found, {"cement": kg(3), "metakaolin": kg("0.3"), "sand": kg(3)}


MIXES: Mapping[str, Callable[[], Mix]] = {
    "blend": lambda: (recipes.BLEND, recipes.BLEND_POWDERS),
    "raw": lambda: (recipes.RAW, recipes.RAW_POWDERS),
    "clouded": lambda: (recipes.CLOUDED, recipes.CLOUDED_POWDERS),
    "sill": lambda: _ways(bucket.BLEND, bucket.BLEND_KG),
    "plate": lambda: _ways(bucket.RAW, bucket.RAW_KG),
    "bench_top": lambda: shipped("bench_top"),
    "hearth_plate": lambda: shipped("hearth_plate"),
    "planter_wall": lambda: shipped("planter_wall"),
    "iced": iced,
    "chips": chips,
    "exact": exact,
    "thick": thick,
}


def made(dice: Random) -> Mix:
    """A recipe at random, of any make-up and order."""
    powders = [material("cement", Role.CEMENT, parts=Fraction(1))]
    if dice.random() < 0.7:
        damp = {"moisture_fraction": _part(dice, 0, 50), "absorption_fraction": _part(dice, 0, 12)}
        powders.append(material("sand", Role.SAND, parts=Fraction(1), **damp))
    if dice.random() < 0.5:
        powders.append(material("metakaolin", Role.POZZOLAN, parts=Fraction(1)))
    doses = _doses(dice)
    basis = dice.choice((Basis.CEMENT, Basis.BINDER, Basis.POWDER))
    target = _part(dice, 320, 420) if basis is not Basis.POWDER else _part(dice, 180, 240)
    found = recipes.recipe(
        "made",
        replace(
            rule(basis, "1", "1", "1", "1"),
            target=target,
            least=target * f("0.9"),
            most=target * f("1.08"),
            ceiling=target * f("1.15"),
        ),
        (WATER, *powders, *doses),
        tuple(_steps(dice, powders, doses)),
        air=dice.choice(("0", "0.03", "0.06")),
        working_min=dice.choice((12, 25, 60)),
    )
    size = dice.randrange(2, 16)
    return found, {item.key: kg(size) * dice.randrange(4, 11) // 10 for item in powders}


def _part(dice: Random, least: int, most: int) -> Fraction:
    return Fraction(dice.randrange(least, most + 1), 1000)


def _doses(dice: Random) -> list[Material]:
    """Some of every sort of dose, by band or by tolerance, with a cap or without."""
    sorts = (
        ("emulsion", Role.POLYMER, (40, 80), 500),
        ("flow", Role.PLASTICISER, (4, 12), 680),
        ("slate", Role.PIGMENT, (8, 40), 0),
        ("buff", Role.PIGMENT, (8, 40), 0),
        ("brake", Role.RETARDER, (1, 4), 900),
        ("fibre", Role.FIBRE, (15, 35), 0),
        ("chips", Role.FIBRE, (5, 15), 0),
    )
    found = []
    for key, role, (least, most), water in sorts:
        if dice.random() < 0.4:
            continue
        of = Basis.TOTAL if role is Role.FIBRE else dice.choice((Basis.CEMENT, Basis.BINDER, Basis.POWDER))
        fraction, banded, capped = _part(dice, least, most), dice.random() < 0.5, dice.random() < 0.4
        band = (str(fraction * f("0.8")), str(fraction * f("1.25"))) if banded else (None, None)
        solids = role is Role.POLYMER and dice.random() < 0.7
        cap = Cap(fraction=fraction * f("1.6"), of=dice.choice((of, Basis.CEMENT)), source="its label")
        found.append(
            material(
                key,
                role,
                dose=dose(str(fraction), of, *band, solids=solids),
                cap=cap if capped and of is not Basis.TOTAL else None,
                water_fraction=Fraction(water, 1000),
                film_forming_c=float(dice.randrange(5, 12)) if role is Role.POLYMER else None,
                price_cents=dice.choice((None, 1800)),
                pack_mg=g(5000),
            )
        )
    return found


def _steps(dice: Random, powders: list[Material], doses: list[Material]) -> list[Step]:
    first = [add("water-1", "water", "0.75", "0.75")]
    halves = dice.random() < 0.5
    head = [
        add(f"{item.key}-1", item.key, "0.5", "0.5") if halves else add(item.key, item.key)
        for item in powders
    ]
    tail = [add(f"{item.key}-2", item.key, "0.5", "1") for item in powders] if halves else []
    wet = [add(item.key, item.key) for item in doses if item.role is not Role.FIBRE]
    fibres: list[Step] = [add(item.key, item.key) for item in doses if item.role is Role.FIBRE]
    dice.shuffle(wet)
    cut = dice.randrange(len(wet) + 1)
    last: Step = add("water-2", "water", "0.25", "1")
    if dice.random() < 0.7:
        increment = Fraction(dice.randrange(3, 12), 100)
        last = ReleaseStep(key="release", material="water", increment=increment, mix_s=20)
    middle: list[Step] = [mix("mix", 30, 90), ScrapeStep(key="scrape"), *wet[cut:], mix("cream", 12, 40)]
    if dice.random() < 0.5:
        middle.append(RestStep(key="rest", min_s=90, max_s=200))
        middle.append(mix("remix", 20, 40))
    if dice.random() < 0.5:
        middle.append(ConsistencyStep(key="judge", method="spread", least=200, most=240))
    after: list[Step] = [SplitStep(key="face", layer="face coat", fraction=_part(dice, 100, 400))]
    return [
        *first,
        *wet[:cut],
        *head,
        *tail,
        *middle,
        last,
        *(after if dice.random() < 0.5 else []),
        *fibres,
        mix("fold", 20, 60, "slow"),
    ]
