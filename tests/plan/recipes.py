"""Recipes for the tests of planning: two by hand, and random ones."""

from fractions import Fraction

from hypothesis import strategies as st

from mixstation.recipe.model import (
    AddStep,
    Basis,
    Dose,
    Material,
    MixStep,
    Recipe,
    ReleaseStep,
    Role,
    SplitStep,
    Step,
    Tolerance,
    WaterRule,
)

WITHIN_2 = Tolerance(under=Fraction(2, 100), over=Fraction(2, 100))


def material(key: str, role: Role, density_kg_m3: float, **more: object) -> Material:
    return Material(  # type: ignore[arg-type]
        key=key,
        name=key.capitalize(),
        role=role,
        density_kg_m3=density_kg_m3,
        **{"tolerance": WITHIN_2, **more},
    )


def add(key: str, share: str = "1", cumulative: str = "1", step: str = "") -> AddStep:
    return AddStep(
        key=step or f"add-{key}", material=key, share=Fraction(share), cumulative=Fraction(cumulative)
    )


def blend_recipe() -> Recipe:
    """A bagged blend, its cement not stated; water, blend, fibre."""
    return Recipe(
        key="sill",
        name="Sill blend",
        revision="1",
        water=WaterRule(
            of=Basis.POWDER,
            target=Fraction(14, 100),
            least=Fraction(13, 100),
            most=Fraction(15, 100),
            ceiling=Fraction(16, 100),
        ),
        materials=(
            material("water", Role.WATER, 1000.0, water_fraction=Fraction(1)),
            material(
                "blend",
                Role.BLEND,
                2800.0,
                parts=Fraction(1),
                pack_mg=20_000_000,
                price_cents=2480,
            ),
            material(
                "fibre",
                Role.FIBRE,
                2700.0,
                dose=Dose(fraction=Fraction(3, 100), of=Basis.TOTAL),
                pack_mg=2_000_000,
                price_cents=1900,
            ),
        ),
        steps=(
            add("water", "4/5", "4/5"),
            add("blend"),
            MixStep(key="mix", min_s=90, max_s=120, speed="fast"),
            ReleaseStep(key="rest-of-water", material="water", increment=Fraction(1, 20), mix_s=30),
            add("fibre"),
        ),
        air_fraction=Fraction(1, 20),
        working_min=30,
        currency="EUR",
    )


def raw_recipe(*, split: bool = True) -> Recipe:
    """From raw materials: damp sand, liquid polymer, plasticiser, pigment, a face coat split off before the fibres."""
    steps: tuple[Step, ...] = (
        add("water", "4/5", "4/5"),
        add("emulsion"),
        add("ochre"),
        add("cement", "1/2", "1/2", "cement-1"),
        add("sand", "1/2", "1/2", "sand-1"),
        add("cement", "1/2", "1", "cement-2"),
        add("sand", "1/2", "1", "sand-2"),
        add("plasticiser"),
        MixStep(key="mix", min_s=120, max_s=180, speed="fast"),
        ReleaseStep(key="rest-of-water", material="water", increment=Fraction(1, 20), mix_s=30),
        *((SplitStep(key="split", layer="face coat", fraction=Fraction(1, 5)),) if split else ()),
        add("fibre"),
    )
    return Recipe(
        key="wall",
        name="Wall",
        revision="1",
        water=WaterRule(
            of=Basis.BINDER,
            target=Fraction(33, 100),
            least=Fraction(31, 100),
            most=Fraction(35, 100),
            ceiling=Fraction(38, 100),
        ),
        materials=(
            material("water", Role.WATER, 1000.0, water_fraction=Fraction(1)),
            material(
                "cement",
                Role.CEMENT,
                3100.0,
                parts=Fraction(10),
                cement_fraction=Fraction(1),
                binder_fraction=Fraction(1),
                pack_mg=25_000_000,
                price_cents=1500,
            ),
            material(
                "sand",
                Role.SAND,
                2650.0,
                parts=Fraction(9),
                moisture_fraction=Fraction(3, 100),
                absorption_fraction=Fraction(1, 100),
                cement_fraction=Fraction(0),
                binder_fraction=Fraction(0),
                pack_mg=25_000_000,
                price_cents=600,
            ),
            material(
                "emulsion",
                Role.POLYMER,
                1060.0,
                dose=Dose(fraction=Fraction(5, 100), of=Basis.CEMENT, counts="solids"),
                water_fraction=Fraction(1, 2),
                pack_mg=10_000_000,
                price_cents=5000,
                film_forming_c=10.0,
            ),
            material(
                "plasticiser",
                Role.PLASTICISER,
                1080.0,
                dose=Dose(fraction=Fraction(6, 1000), of=Basis.BINDER),
                water_fraction=Fraction(7, 10),
                pack_mg=1_000_000,
                price_cents=1700,
            ),
            material(
                "ochre",
                Role.PIGMENT,
                4200.0,
                dose=Dose(fraction=Fraction(3, 100), of=Basis.CEMENT),
                pack_mg=1_000_000,
            ),
            material(
                "fibre",
                Role.FIBRE,
                2700.0,
                dose=Dose(fraction=Fraction(3, 100), of=Basis.TOTAL),
                pack_mg=5_000_000,
            ),
        ),
        steps=steps,
        air_fraction=Fraction(1, 20),
        working_min=30,
        currency="EUR",
    )


def percents(low: int, high: int) -> st.SearchStrategy[Fraction]:
    """Fractions of a tenth of a per cent."""
    return st.integers(low * 10, high * 10).map(lambda tenths: Fraction(tenths, 1000))


@st.composite
def random_recipes(draw: st.DrawFn) -> Recipe:
    """Cement, sand, emulsion, plasticiser, pigment and fibre in random proportions, with or without a split."""
    recipe = raw_recipe(split=draw(st.booleans()))
    changed = []
    for each in recipe.materials:
        fields = {name: getattr(each, name) for name in each.__dataclass_fields__}
        match each.role:
            case Role.CEMENT | Role.SAND:
                fields["parts"] = Fraction(draw(st.integers(20, 200)), 10)
            case Role.POLYMER:
                fields["dose"] = Dose(fraction=draw(percents(1, 7)), of=Basis.CEMENT, counts="solids")
            case Role.PLASTICISER:
                fields["dose"] = Dose(fraction=Fraction(draw(st.integers(1, 12)), 1000), of=Basis.BINDER)
            case Role.PIGMENT:
                fields["dose"] = Dose(fraction=draw(percents(1, 8)), of=Basis.CEMENT)
            case Role.FIBRE:
                fields["dose"] = Dose(fraction=draw(percents(1, 5)), of=Basis.TOTAL)
            case _:
                pass
        if each.role is Role.SAND:
            fields["moisture_fraction"] = draw(percents(0, 4))
        changed.append(Material(**fields))
    return Recipe(
        key=recipe.key,
        name=recipe.name,
        revision=recipe.revision,
        water=WaterRule(
            of=Basis.BINDER,
            target=draw(percents(30, 45)),
            least=Fraction(1, 4),
            most=Fraction(1, 2),
            ceiling=Fraction(6, 10),
        ),
        materials=tuple(changed),
        steps=recipe.steps,
        air_fraction=draw(percents(0, 10)),
        working_min=30,
        currency="EUR",
    )
