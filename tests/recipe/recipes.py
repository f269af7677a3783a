"""Random sound recipes, built without reading a file."""

from fractions import Fraction

from hypothesis import strategies as st

from mixstation.recipe.defaults import DENSITIES_KG_M3, default_tolerance
from mixstation.recipe.model import (
    AddStep,
    Basis,
    Cap,
    ConsistencyStep,
    Dose,
    Material,
    MixStep,
    Recipe,
    ReleaseStep,
    RestStep,
    Role,
    ScrapeStep,
    SplitStep,
    Step,
    TemperatureStep,
    WaterRule,
)


def per_mille(least: int, most: int) -> st.SearchStrategy[Fraction]:
    return st.integers(least, most).map(lambda n: Fraction(n, 1000))


def material(role: Role, key: str | None = None, **fields: object) -> Material:
    """A material with the defaults of its role."""
    values: dict[str, object] = {
        "key": key or str(role),
        "name": (key or str(role)).title(),
        "role": role,
        "tolerance": default_tolerance(role),
        "density_kg_m3": DENSITIES_KG_M3[role],
    }
    if role in (Role.CEMENT, Role.POZZOLAN, Role.SAND, Role.FILLER):
        values["cement_fraction"] = Fraction(int(role is Role.CEMENT))
        values["binder_fraction"] = Fraction(int(role in (Role.CEMENT, Role.POZZOLAN)))
    if role in (Role.WATER, Role.ICE):
        values["water_fraction"] = Fraction(1)
    return Material(**values | fields)  # type: ignore[arg-type]


@st.composite
def materials(draw: st.DrawFn) -> tuple[Material, ...]:
    parts = st.integers(1, 400).map(lambda n: Fraction(n, 20))
    found = [material(Role.WATER), material(Role.CEMENT, parts=draw(parts) + 5)]
    if draw(st.booleans()):
        found.append(material(Role.POZZOLAN, parts=draw(parts) / 10))
    if draw(st.booleans()):
        damp = {"moisture_fraction": draw(per_mille(0, 30)), "absorption_fraction": draw(per_mille(0, 15))}
        found.append(material(Role.SAND, parts=draw(parts) / 2, **damp))
    if draw(st.booleans()):
        shares = {"cement_fraction": draw(per_mille(200, 500)), "binder_fraction": draw(per_mille(500, 700))}
        found.append(material(Role.BLEND, parts=draw(parts), pack_mg=25_000_000, **shares))
    basis = st.sampled_from([Basis.CEMENT, Basis.BINDER, Basis.POWDER])
    for role in (Role.POLYMER, Role.PLASTICISER, Role.PIGMENT):
        if draw(st.booleans()):
            water_fraction = draw(per_mille(0, 600))
            fraction, of = draw(per_mille(1, 40)), draw(basis)
            dose = Dose(fraction=fraction, of=of, counts=draw(st.sampled_from(["mass", "solids"])))
            cap = draw(st.none() | st.just(Cap(fraction=fraction * 2, of=of, source="its label")))
            found.append(material(role, dose=dose, cap=cap, water_fraction=water_fraction))
    for index in range(draw(st.integers(0, 2))):
        fraction = draw(per_mille(5, 40))
        dose = Dose(fraction=fraction, of=Basis.TOTAL, least=fraction / 2, most=fraction * 2)
        found.append(material(Role.FIBRE, f"fibre-{index}", dose=dose))
    return tuple(found)


@st.composite
def recipes(draw: st.DrawFn, materials_: st.SearchStrategy[tuple[Material, ...]] | None = None) -> Recipe:
    """A recipe in a sensible order, now and then with something split off at any point after the powder."""
    found = draw(materials_ or materials())
    first = draw(per_mille(500, 900))
    adds: list[Step] = [AddStep(key="a", material="water", share=first, cumulative=first)]
    halves = draw(st.booleans())
    powders = [m.key for m in found if m.is_powder]
    for part in (Fraction(1, 2), Fraction(1)) if halves else (Fraction(1),):
        share = Fraction(1, 2) if halves else Fraction(1)
        for key in powders:
            adds.append(AddStep(key=f"{key}-{part.denominator}", material=key, share=share, cumulative=part))
        adds.append(ScrapeStep(key=f"scrape-{part.denominator}", say="To the very bottom."))
    tail: list[Step] = [
        AddStep(key=m.key, material=m.key, share=Fraction(1), cumulative=Fraction(1))
        for m in found
        if m.dose is not None
    ]
    tail += draw(
        st.lists(
            st.sampled_from(
                [
                    MixStep(key="mix", min_s=60, max_s=90, speed="slow"),
                    RestStep(key="stand", min_s=120, max_s=300),
                    ConsistencyStep(key="spread", method="spread", least=200, most=250),
                    ConsistencyStep(key="flow", method="flow", least=95, most=115),
                    ConsistencyStep(key="rings", method="rings", least=2, most=4),
                    ConsistencyStep(key="eye", method="trowel"),
                    TemperatureStep(key="warmth", min_c=12.5, max_c=None),
                    SplitStep(key="face", layer="face coat", fraction=Fraction(1, 4)),
                    SplitStep(key="rim", layer="rim", fraction=Fraction(1, 10)),
                ]
            ),
            unique_by=lambda step: step.key,
        )
    )
    tail.append(ReleaseStep(key="rest-of-water", material="water", increment=Fraction(1, 20), mix_s=25))
    tail = draw(st.permutations(tail))
    target = draw(per_mille(280, 400))
    water = WaterRule(
        of=draw(st.sampled_from([Basis.CEMENT, Basis.BINDER, Basis.POWDER])),
        target=target,
        least=target - Fraction(1, 50),
        most=target + Fraction(1, 50),
        ceiling=target + Fraction(1, 20),
    )
    return Recipe(
        key="some",
        name="Some recipe",
        revision="1",
        water=water,
        materials=found,
        steps=(*adds, *tail),
        air_fraction=Fraction(1, 20),
        working_min=30,
        note=draw(st.sampled_from(["", "For walls."])),
        currency="EUR",
    )
