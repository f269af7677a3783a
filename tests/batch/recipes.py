"""Recipes of a small yard that casts thin garden and hearth pieces, as model objects, in three ways of working."""

from dataclasses import replace
from fractions import Fraction
from typing import Literal

from mixstation.recipe.defaults import DENSITIES_KG_M3, default_tolerance
from mixstation.recipe.model import (
    AddStep,
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
    Step,
    TemperatureStep,
    Tolerance,
    WaterRule,
)


def g(grams: float | str | Fraction) -> int:
    """Grams as whole milligrams."""
    milligrams = Fraction(grams) * 1000
    assert milligrams.denominator == 1
    return int(milligrams)


def kg(kilograms: str | int) -> int:
    """Kilograms, written as text, as whole milligrams."""
    return g(Fraction(kilograms) * 1000)


def f(text: str) -> Fraction:
    """A fraction written as a decimal or a quotient."""
    return Fraction(text)


def material(key: str, role: Role, **fields: object) -> Material:
    """A material with the tolerance and density of its role."""
    shares = {Role.CEMENT: (1, 1), Role.POZZOLAN: (0, 1), Role.SAND: (0, 0), Role.FILLER: (0, 0)}
    values: dict[str, object] = {
        "key": key,
        "name": key.capitalize(),
        "role": role,
        "tolerance": default_tolerance(role),
        "density_kg_m3": DENSITIES_KG_M3[role],
    }
    if role in shares:
        values["cement_fraction"], values["binder_fraction"] = map(Fraction, shares[role])
    if role in (Role.WATER, Role.ICE):
        values["water_fraction"] = Fraction(1)
    return Material(**values | fields)  # type: ignore[arg-type]


def dose(
    fraction: str, of: Basis, least: str | None = None, most: str | None = None, *, solids: bool = False
) -> Dose:
    return Dose(
        fraction=f(fraction),
        of=of,
        counts="solids" if solids else "mass",
        least=f(least) if least else None,
        most=f(most) if most else None,
    )


def add(key: str, of: str, share: str = "1", cumulative: str = "1") -> AddStep:
    return AddStep(key=key, material=of, share=f(share), cumulative=f(cumulative))


def mix(key: str, min_s: int, max_s: int, speed: Literal["slow", "fast"] = "fast") -> MixStep:
    return MixStep(key=key, min_s=min_s, max_s=max_s, speed=speed)


WATER = material("water", Role.WATER)


def recipe(
    key: str,
    water: WaterRule,
    materials: tuple[Material, ...],
    steps: tuple[Step, ...],
    air: str = "0.05",
    working_min: int = 30,
) -> Recipe:
    return Recipe(
        key=key,
        name=key.capitalize(),
        revision="1",
        water=water,
        materials=materials,
        steps=steps,
        air_fraction=f(air),
        working_min=working_min,
    )


def rule(of: Basis, target: str, least: str, most: str, ceiling: str) -> WaterRule:
    return WaterRule(of=of, target=f(target), least=f(least), most=f(most), ceiling=f(ceiling))


BLEND = recipe(
    "sill cap from a bagged blend",
    rule(Basis.POWDER, "0.132", "0.124", "0.138", "0.146"),
    (
        WATER,
        material(
            "blend", Role.BLEND, parts=Fraction(1), cement_fraction=f("0.41"), binder_fraction=f("0.46")
        ),
        material("fibre", Role.FIBRE, dose=dose("0.026", Basis.TOTAL, "0.024", "0.028")),
    ),
    (
        add("water-1", "water", "0.8", "0.8"),
        add("blend-1", "blend", "0.5", "0.5"),
        mix("mix-1", 60, 90),
        ScrapeStep(key="scrape-1"),
        add("blend-2", "blend", "0.5"),
        mix("mix-2", 90, 150),
        ScrapeStep(key="scrape-2"),
        RestStep(key="rest", min_s=180, max_s=300),
        mix("remix", 30, 60),
        ConsistencyStep(key="judge", method="trowel"),
        ReleaseStep(key="release", material="water", increment=f("0.05"), mix_s=25),
        ScrapeStep(key="scrape-3"),
        add("fibre", "fibre"),
        mix("fold", 45, 75, "slow"),
        TemperatureStep(key="temperature", min_c=12.0, max_c=28.0),
        NoteStep(key="cover", say="Cover at once."),
    ),
)
BLEND_POWDERS = {"blend": kg(18)}

RAW = recipe(
    "planter wall from raw materials",
    rule(Basis.BINDER, "0.33", "0.31", "0.35", "0.38"),
    (
        WATER,
        material("cement", Role.CEMENT, parts=Fraction(10)),
        material("metakaolin", Role.POZZOLAN, parts=Fraction(1)),
        material(
            "sand", Role.SAND, parts=Fraction(9), moisture_fraction=f("0.02"), absorption_fraction=f("0.006")
        ),
        material(
            "emulsion",
            Role.POLYMER,
            dose=dose("0.055", Basis.CEMENT, "0.05", "0.065", solids=True),
            water_fraction=f("0.52"),
            film_forming_c=10.0,
        ),
        material(
            "plasticiser",
            Role.PLASTICISER,
            dose=dose("0.006", Basis.BINDER, "0.004", "0.009"),
            cap=Cap(fraction=f("0.012"), of=Basis.BINDER, source="its label"),
            water_fraction=f("0.68"),
        ),
        material(
            "ochre",
            Role.PIGMENT,
            dose=dose("0.025", Basis.CEMENT),
            cap=Cap(fraction=f("0.1"), of=Basis.CEMENT, source="ASTM C979 §1.4"),
        ),
        material("fibre", Role.FIBRE, dose=dose("0.03", Basis.TOTAL, "0.027", "0.033")),
    ),
    (
        add("water-1", "water", "0.8", "0.8"),
        add("emulsion", "emulsion"),
        add("ochre", "ochre"),
        add("cement-1", "cement", "0.5", "0.5"),
        add("metakaolin-1", "metakaolin", "0.5", "0.5"),
        add("sand-1", "sand", "0.5", "0.5"),
        mix("mix-1", 60, 90),
        ScrapeStep(key="scrape-1"),
        add("plasticiser", "plasticiser"),
        mix("cream", 15, 30),
        add("cement-2", "cement", "0.5"),
        add("metakaolin-2", "metakaolin", "0.5"),
        add("sand-2", "sand", "0.5"),
        mix("mix-2", 90, 120),
        ScrapeStep(key="scrape-2"),
        RestStep(key="rest", min_s=120, max_s=240),
        mix("remix", 30, 45),
        ConsistencyStep(key="spread", method="spread", least=205, most=245),
        ReleaseStep(key="release", material="water", increment=f("0.05"), mix_s=25),
        TemperatureStep(key="temperature", min_c=12.0, max_c=28.0),
        SplitStep(key="face", layer="face coat", fraction=f("0.22")),
        ScrapeStep(key="scrape-3"),
        add("fibre", "fibre"),
        mix("fold", 45, 75, "slow"),
        NoteStep(key="backing", say="Backing onto the soft face."),
    ),
    working_min=35,
)
RAW_POWDERS = {"cement": kg(8), "metakaolin": kg("0.8"), "sand": kg("7.344")}

CLOUDED = recipe(
    "bench top, clouded",
    rule(Basis.CEMENT, "0.34", "0.32", "0.36", "0.39"),
    (
        WATER,
        material("cement", Role.CEMENT, parts=Fraction(3), tolerance=Tolerance(under=f("0"), over=f("0.04"))),
        material("sand", Role.SAND, parts=Fraction(2)),
        material("fibre", Role.FIBRE, dose=dose("0.024", Basis.TOTAL)),
        material(
            "slate",
            Role.PIGMENT,
            dose=dose("0.016", Basis.CEMENT),
            cap=Cap(fraction=f("0.1"), of=Basis.CEMENT, source="ASTM C979 §1.4"),
        ),
        material("buff", Role.PIGMENT, dose=dose("0.009", Basis.CEMENT)),
    ),
    (
        add("water-1", "water", "0.85", "0.85"),
        add("cement", "cement"),
        add("sand", "sand"),
        mix("mix", 60, 120),
        ScrapeStep(key="scrape"),
        ReleaseStep(key="release", material="water", increment=f("0.05"), mix_s=20),
        add("fibre", "fibre"),
        mix("fold", 45, 70, "slow"),
        add("slate", "slate"),
        add("buff", "buff"),
        mix("clouds", 5, 12, "slow"),
    ),
    air="0.06",
    working_min=25,
)
CLOUDED_POWDERS = {"cement": kg(6), "sand": kg(4)}


def with_material(of: Recipe, key: str, **fields: object) -> Recipe:
    """A recipe with one material changed."""
    changed = tuple(
        replace(each, **fields) if each.key == key else each  # type: ignore[arg-type]
        for each in of.materials
    )
    return replace(of, materials=changed)


def with_step(of: Recipe, key: str, **fields: object) -> Recipe:
    """A recipe with one step changed."""
    changed = tuple(
        replace(each, **fields) if each.key == key else each  # type: ignore[arg-type]
        for each in of.steps
    )
    return replace(of, steps=changed)
