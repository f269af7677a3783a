"""Random recipes, and random batches of them that went wrong somewhere, as model objects."""

from fractions import Fraction

from hypothesis import strategies as st

from mixstation.batch.events import StepDone, SupplyRanOut
from mixstation.batch.run import Run
from mixstation.batch.ways import Limits
from mixstation.recipe.model import (
    AddStep,
    Basis,
    Cap,
    Dose,
    Material,
    Recipe,
    ReleaseStep,
    Role,
    SplitStep,
    Step,
    WaterRule,
)
from tests.batch.ways.bucket import (
    add,
    begin,
    limits,
    material,
    mix,
    per_mille,
    removed,
    scooped,
    told,
    water_rule,
    weighed,
    work,
)


def thousandths(least: int, most: int) -> st.SearchStrategy[Fraction]:
    return st.integers(least, most).map(per_mille)


@st.composite
def dosed(draw: st.DrawFn, key: str, role: Role, least: int, most: int, of: Basis, water: int) -> Material:
    """Something that is dosed: by tolerance or by a band of its own, with a cap or without."""
    fraction = draw(thousandths(least, most))
    banded = draw(st.booleans())
    dose = Dose(
        fraction=fraction,
        of=of,
        counts="solids" if water and role is Role.POLYMER else "mass",
        least=fraction * Fraction(7, 10) if banded else None,
        most=fraction * Fraction(14, 10) if banded else None,
    )
    cap = (
        Cap(fraction=fraction * Fraction(17, 10), of=of, source="its label") if draw(st.booleans()) else None
    )
    return material(key, role, dose=dose, cap=cap, water_fraction=per_mille(water))


@st.composite
def blends(draw: st.DrawFn) -> Recipe:
    """A bagged blend with water and fibre, now and then pigment."""
    found = [
        material("water", Role.WATER),
        material("blend", Role.BLEND, parts=Fraction(1), cement_fraction=per_mille(400)),
        draw(dosed("fibre", Role.FIBRE, 15, 35, Basis.TOTAL, 0)),
    ]
    tail: list[Step] = [mix("mix-2"), add("fibre")]
    if draw(st.booleans()):
        found.append(draw(dosed("pigment", Role.PIGMENT, 8, 30, Basis.POWDER, 0)))
        tail.insert(0, add("pigment"))
    target = draw(st.integers(130, 180))
    rule = water_rule(Basis.POWDER, target, target - 10, target + 8)
    return _ordered(tuple(found), rule, ["blend"], tail, draw)


@st.composite
def raws(draw: st.DrawFn) -> Recipe:
    """Cement and damp sand, perhaps pozzolan; polymer, plasticiser, pigment, fibre."""
    damp = {"moisture_fraction": draw(thousandths(0, 40)), "absorption_fraction": draw(thousandths(0, 12))}
    found = [
        material("water", Role.WATER),
        material("cement", Role.CEMENT, parts=Fraction(10)),
        material("sand", Role.SAND, parts=Fraction(draw(st.integers(5, 12))), **damp),
    ]
    powders = ["cement", "sand"]
    if draw(st.booleans()):
        found.append(material("pozzolan", Role.POZZOLAN, parts=Fraction(draw(st.integers(1, 3)))))
        powders.append("pozzolan")
    head: list[Step] = []
    tail: list[Step] = []
    if draw(st.booleans()):
        found.append(draw(dosed("polymer", Role.POLYMER, 40, 70, Basis.CEMENT, 500)))
        head.append(add("polymer"))
    if draw(st.booleans()):
        found.append(draw(dosed("plasticiser", Role.PLASTICISER, 3, 9, Basis.BINDER, 650)))
        tail.append(add("plasticiser"))
    for index in range(draw(st.integers(0, 2))):
        found.append(draw(dosed(f"pigment-{index}", Role.PIGMENT, 5, 30, Basis.CEMENT, 0)))
        draw(st.sampled_from([head, tail])).append(add(f"pigment-{index}"))
    tail.append(mix("mix-2"))
    if draw(st.booleans()):
        tail.append(SplitStep(key="face", layer="face coat", fraction=Fraction(1, 5)))
    found.append(draw(dosed("fibre", Role.FIBRE, 20, 35, Basis.TOTAL, 0)))
    tail.append(add("fibre"))
    target = draw(st.integers(310, 370))
    rule = water_rule(Basis.BINDER, target, target - 30, target + draw(st.integers(10, 30)))
    return _ordered(tuple(found), rule, powders, [*head, *tail], draw)


def _ordered(
    found: tuple[Material, ...], rule: WaterRule, powders: list[str], rest: list[Step], draw: st.DrawFn
) -> Recipe:
    halves = draw(st.booleans())
    head = [step for step in rest if isinstance(step, AddStep) and step.material == "polymer"]
    steps: list[Step] = [add("water", 80, 80), *head]
    steps += [add(key, 50, 50) if halves else add(key) for key in powders]
    steps.append(mix("mix-1"))
    steps += [add(key, 50, 100) for key in powders] if halves else []
    released = ReleaseStep(key="release", material="water", increment=Fraction(1, 10), mix_s=30)
    last: Step = add("water", 20, 100) if draw(st.booleans()) else released
    steps += [last, *(step for step in rest if step not in head), mix("mix-3")]
    return Recipe(
        key="some",
        name="some",
        revision="1",
        water=rule,
        materials=found,
        steps=tuple(steps),
        air_fraction=per_mille(50),
        working_min=30,
    )


class Trouble:
    """A batch that went wrong, and its limits; told in one line."""

    def __init__(self, run: Run, limits: Limits) -> None:
        self.run = run
        self.limits = limits

    def __repr__(self) -> str:
        weighed_g = {key: float(mass) / 1000 for key, mass in self.run.content.items()}
        step = self.run.step.key if self.run.step is not None else "end"
        aims = {amount.material: amount.mass_mg / 1000 for amount in self.run.start.aim.powders}
        return f"Trouble({weighed_g} of {aims} at {step}, {self.limits})"


@st.composite
def troubles(draw: st.DrawFn) -> Trouble:
    """A batch somewhere on its way, poured with small errors and one large one, or spilled, or short."""
    recipe = draw(blends() | raws())
    unit = draw(st.integers(20, 200))
    bagged = any(item.role is Role.BLEND for item in recipe.materials)
    powders_kg = {
        item.key: Fraction(
            round(item.parts * unit * (10 if bagged else 1) * (1 + item.moisture_fraction)), 100
        )
        for item in recipe.materials
        if item.parts is not None
    }
    run = begin(recipe, powders_kg, bucket_l=draw(st.sampled_from([6.0, 12.0, 25.0, 60.0])))
    coarse = draw(st.sampled_from([1_000, 5_000, 10_000, 20_000]))
    fine = draw(st.sampled_from([100, 1_000]))
    divisions = {
        item.key: coarse if item.is_powder or item.role is Role.WATER else min(fine, coarse)
        for item in recipe.materials
    }
    adds = [step.key for step in recipe.steps if isinstance(step, AddStep | ReleaseStep)]
    slips = draw(st.lists(st.integers(-8, 8), min_size=len(adds), max_size=len(adds)))
    factors = {key: Fraction(1000 + slip, 1000) for key, slip in zip(adds, slips, strict=True)}
    stop = draw(st.integers(1, len(recipe.steps)))
    until = recipe.steps[stop].key if stop < len(recipe.steps) else ""
    wrong = draw(st.sampled_from([step.key for step in recipe.steps[:stop] if step.key in adds]))
    factors[wrong] = Fraction(draw(st.sampled_from([70, 95, 104, 108, 115, 130, 160, 250])), 100)
    run = work(run, divisions, until=until, factors=factors)
    run = draw(_besides(run))
    stock = {
        key: draw(st.integers(0, 6_000_000))
        for key in draw(st.lists(st.sampled_from(sorted(run.content)), max_size=2, unique=True))
    }
    found = limits(
        run,
        divisions_mg=divisions,
        stock_mg=stock,
        working_left_s=draw(st.sampled_from([None, 60, 1_500])),
        needed_l=draw(st.sampled_from([0.0, 0.0, 1.0, 5.0])),
    )
    return Trouble(run, found)


@st.composite
def _besides(draw: st.DrawFn, run: Run) -> Run:
    """Now and then something more: out of the bucket, into it, or no more of it."""
    what = draw(st.sampled_from(["", "", "", "removed", "scooped", "extra", "ran-out"]))
    inside = [key for key, mass in sorted(run.content.items()) if mass > 2_000]
    if not inside or not what:
        return run
    key = draw(st.sampled_from(inside))
    if what == "removed":
        return removed(run, key, int(run.content[key] / 20) + 1)
    if what == "scooped":
        return scooped(run, int(run.in_bucket_mg / 15))
    if what == "extra":
        return weighed(run, key, int(run.content[key] / 6) + 1, None)
    steps = [
        step.key
        for step in run.steps
        if getattr(step, "material", None) == key and step.key not in run.finished
    ]
    return told(run, SupplyRanOut(material=key), *(StepDone(step=step) for step in steps))
