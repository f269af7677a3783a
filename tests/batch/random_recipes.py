"""Recipes at random, of every make-up and order a shop might write, with bands a hand can keep to."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from hypothesis import strategies as st

from mixstation.batch.events import WeighedApart
from mixstation.recipe.model import (
    AddStep,
    Basis,
    Dose,
    Material,
    Recipe,
    ReleaseStep,
    Role,
    ScrapeStep,
    SplitStep,
    Step,
    Tolerance,
    WaterRule,
)
from tests.batch.recipes import WATER, f, g, material, mix


@dataclass(frozen=True, kw_only=True)
class Job:
    """A recipe, how much of it, the scale's division, and what is weighed on another scale."""

    recipe: Recipe
    powders: dict[str, int]
    division_mg: int
    weighed_apart: tuple[WeighedApart, ...]

    def __repr__(self) -> str:
        """Short, for what a failing test prints."""
        return f"{[step.key for step in self.recipe.steps]} {self.powders} d={self.division_mg} {self.weighed_apart}"


def percent(draw: st.DrawFn, low: int, high: int) -> Fraction:
    """A whole number of tenths of a per cent."""
    return Fraction(draw(st.integers(low * 10, high * 10)), 1000)


def own_band(fraction: Fraction) -> tuple[Fraction, Fraction]:
    """A fifth either way: what goes in before its basis keeps to it whatever the basis does within tolerance."""
    return fraction * f("0.8"), fraction * f("1.2")


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    bagged = draw(st.booleans())
    powders = [_blend(draw)] if bagged else _raw_powders(draw)
    basis = draw(st.sampled_from([Basis.POWDER] if bagged else [Basis.CEMENT, Basis.BINDER, Basis.POWDER]))
    early = [] if bagged else _early(draw)
    late = _late(draw)
    target = percent(draw, 13, 20) if basis is Basis.POWDER else percent(draw, 32, 42)
    rule = WaterRule(
        of=basis,
        target=target,
        least=target * f("0.88"),
        most=target * f("1.12"),
        ceiling=target * f("1.2"),
    )
    steps = _steps(draw, powders, early, late)
    recipe = Recipe(
        key="random",
        name="Random",
        revision="1",
        water=rule,
        materials=(WATER, *powders, *early, *late),
        steps=tuple(steps),
        air_fraction=f("0.05"),
        working_min=600,
    )
    size = draw(st.integers(3_000, 40_000))
    masses = {each.key: g(size) * draw(st.integers(5, 10)) // 10 for each in powders}
    # Small batches are weighed on fine scales; 453 mg and 4536 mg are 0.001 and 0.01 lb.
    division = draw(st.sampled_from([100, 453, 1000, 2000, 4536, 5000] if size > 8_000 else [100, 453, 1000]))
    whole = [
        step.material for step in steps if isinstance(step, AddStep) and step.share == step.cumulative == 1
    ]
    apart = [key for key in whole if draw(st.booleans())]
    fine = st.sampled_from([10, 45, 100, 500])
    return Job(
        recipe=recipe,
        powders=masses,
        division_mg=division,
        weighed_apart=tuple(
            WeighedApart(material=key, scale="fine", division_mg=draw(fine)) for key in apart
        ),
    )


def _blend(draw: st.DrawFn) -> Material:
    return material(
        "blend",
        Role.BLEND,
        parts=Fraction(1),
        cement_fraction=percent(draw, 35, 50),
        binder_fraction=percent(draw, 50, 60),
    )


def _raw_powders(draw: st.DrawFn) -> list[Material]:
    powders = [material("cement", Role.CEMENT, parts=Fraction(1))]
    if draw(st.booleans()):
        powders.append(
            material(
                "sand",
                Role.SAND,
                parts=Fraction(1),
                moisture_fraction=percent(draw, 0, 5),
                absorption_fraction=percent(draw, 0, 1),
            )
        )
    if draw(st.booleans()):
        powders.append(material("metakaolin", Role.POZZOLAN, parts=Fraction(1)))
    if draw(st.booleans()):
        never_short = Tolerance(under=Fraction(0), over=f("0.03"))
        powders.append(material("limestone", Role.FILLER, parts=Fraction(1), tolerance=never_short))
    return powders


def _early(draw: st.DrawFn) -> list[Material]:
    """Doses that may go in before the powders they are of, each with a band of its own."""
    early = []
    if draw(st.booleans()):
        solids = percent(draw, 4, 7)
        low, high = own_band(solids)
        early.append(
            material(
                "emulsion",
                Role.POLYMER,
                dose=Dose(fraction=solids, of=Basis.CEMENT, counts="solids", least=low, most=high),
                water_fraction=percent(draw, 45, 60),
            )
        )
    if draw(st.booleans()):
        dosed = percent(draw, 1, 4)
        low, high = own_band(dosed)
        early.append(
            material("ochre", Role.PIGMENT, dose=Dose(fraction=dosed, of=Basis.CEMENT, least=low, most=high))
        )
    return early


def _late(draw: st.DrawFn) -> list[Material]:
    """Doses on what is in by then: held to their tolerance alone."""
    late = []
    if draw(st.booleans()):
        late.append(material("black", Role.PIGMENT, dose=Dose(fraction=percent(draw, 1, 3), of=Basis.POWDER)))
    for key in draw(st.sampled_from([(), ("short",), ("short", "long")])):
        late.append(material(key, Role.FIBRE, dose=Dose(fraction=percent(draw, 1, 3), of=Basis.TOTAL)))
    return late


def _shares(draw: st.DrawFn, key: str, counts: Sequence[int]) -> list[AddStep]:
    cuts = sorted(draw(st.sets(st.integers(2, 8), min_size=1, max_size=max(counts)))) if max(counts) else []
    cuts = cuts[: draw(st.sampled_from(counts))]
    steps, before = [], Fraction(0)
    for cumulative in (*(Fraction(cut, 10) for cut in cuts), Fraction(1)):
        share = cumulative - before
        steps.append(AddStep(key=f"{key}-{len(steps) + 1}", material=key, share=share, cumulative=cumulative))
        before = cumulative
    return steps


def _steps(
    draw: st.DrawFn, powders: list[Material], early: list[Material], late: list[Material]
) -> list[Step]:
    water = _shares(draw, "water", [1, 2])
    last = water.pop()
    first, later = water[:1], water[1:]
    adds = [step for each in powders for step in _shares(draw, each.key, [0, 1, 2])]
    adds += [step for each in early for step in _shares(draw, each.key, [0, 1])]
    adds += later
    order = draw(st.permutations(range(len(adds))))
    # Shares of one material stay in their own order.
    queues = {
        key: iter([step for step in adds if step.material == key]) for key in {s.material for s in adds}
    }
    mixed: list[Step] = [next(queues[adds[place].material]) for place in order]
    ends: list[Step] = [last]
    if draw(st.booleans()):
        increment = Fraction(draw(st.integers(2, 10)), 100)
        ends = [ReleaseStep(key="release", material="water", increment=increment, mix_s=20)]
    if draw(st.booleans()):
        ends.append(SplitStep(key="face", layer="face coat", fraction=percent(draw, 10, 40)))
    ends += [step for each in late for step in _shares(draw, each.key, [0, 1])]
    return [*first, *mixed, mix("mix", 60, 600), ScrapeStep(key="scrape"), *ends]
