"""On cases small enough to try everything, nothing that keeps the limits adds less than the search found."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import islice, product
from random import Random

import pytest

from mixstation.batch.run import Run
from mixstation.batch.targets import project
from mixstation.batch.ways import Limits
from mixstation.batch.ways.goals import LEAST_ADDED, Freedom
from mixstation.batch.ways.search import Search
from mixstation.batch.ways.situation import situation
from mixstation.recipe.model import Basis, Dose, Recipe, Role
from tests.batch.ways.bucket import BLEND, add, begin, limits, material, mix, per_mille, water_rule, work
from tests.batch.ways.limits_kept import basis, free_water, litres, problems

MORTAR = Recipe(
    key="mortar",
    name="Bench mortar",
    revision="1",
    water=water_rule(Basis.CEMENT, 340, 310, 370),
    materials=(
        material("water", Role.WATER),
        material("cement", Role.CEMENT, parts=Fraction(1)),
        material("sand", Role.SAND, parts=Fraction(1)),
        material("pigment", Role.PIGMENT, dose=Dose(fraction=per_mille(40), of=Basis.CEMENT)),
    ),
    steps=(
        add("water", 80, 80),
        add("pigment"),
        add("cement", 50, 50),
        add("sand"),
        mix("mix-1"),
        add("cement", 50, 100),
        mix("mix-2"),
        add("water", 20, 100),
        mix("mix-3"),
    ),
    air_fraction=per_mille(40),
    working_min=30,
)


def small_batches(seed: int) -> Iterator[tuple[Run, Limits]]:
    """Batches with something over, on scales so coarse that few amounts are to be had."""
    dice = Random(seed)
    while True:
        if dice.random() < 0.5:
            recipe, powders_kg = BLEND, {"blend": Fraction(10)}
            divisions = {"water": 50_000, "blend": 200_000, "fibre": 10_000}
        else:
            recipe, powders_kg = MORTAR, {"cement": Fraction(4), "sand": Fraction(4)}
            divisions = {"water": 50_000, "cement": 100_000, "sand": 100_000, "pigment": 10_000}
        run = begin(recipe, powders_kg, bucket_l=dice.choice((8.5, 9.5, 40.0)))
        stop = dice.randrange(3, len(recipe.steps))
        wrong = dice.choice([step.key for step in recipe.steps[:stop] if hasattr(step, "material")])
        factors = {wrong: Fraction(dice.choice((104, 110, 118, 130)), 100)}
        run = work(run, divisions, until=recipe.steps[stop].key, factors=factors)
        yield run, limits(run, divisions_mg=divisions, working_left_s=None)


def planned(run: Run, key: str, division_mg: int) -> Fraction:
    """What may still go in without being more than planned."""
    rest = project(run).finals[key] - run.content[key]
    return rest + Fraction(division_mg, 2) if rest else Fraction(0)


def allowed(run: Run, limits_: Limits, added: dict[str, int]) -> bool:
    """The rules on what may be added: nothing past its target, no powder past the others' proportion."""
    totals = {key: run.content[key] + added[key] for key in added}
    step = max(limits_.divisions_mg[amount.material] for amount in run.start.aim.powders)
    aims = {amount.material: Fraction(amount.mass_mg) for amount in run.start.aim.powders}
    for item in run.recipe.materials:
        key = item.key
        if not added[key]:
            continue
        if item.dose is not None:
            under = basis(run, totals, item.dose.of)
            share = run.recipe.material(next(iter(aims))).basis_share(item.dose.of)
            fine = (limits_.divisions_mg[key] + item.dose.fraction * step * share) / 2
            if totals[key] > item.dose.fraction * under + fine:
                return False
        elif item.role is Role.WATER:
            rule = run.recipe.water
            fine = (limits_.divisions_mg[key] + rule.target * step) / 2
            if free_water(run, totals) > rule.target * basis(run, totals, rule.of) + fine:
                return False
        elif added[key] > planned(run, key, limits_.divisions_mg[key]):
            half = Fraction(step, 2)
            if any((totals[key] - half) / aims[key] > (totals[j] + half) / aims[j] for j in aims):
                return False
    return True


def extra_mg(run: Run, limits_: Limits, added: dict[str, int]) -> Fraction:
    return sum(
        (
            max(Fraction(0), mass - planned(run, key, limits_.divisions_mg[key]))
            for key, mass in added.items()
        ),
        Fraction(0),
    )


def every_way(run: Run, limits_: Limits) -> list[dict[str, int]]:
    """Everything that could be added, from three divisions under the plan to six over it; least extra first."""
    reach = []
    for key in run.content:
        division = limits_.divisions_mg[key]
        rest = int((project(run).finals[key] - run.content[key]) / division)
        can = run.pending(key) or run.due(key) == 1
        free = planned(run, key, division)
        counts = range(max(0, rest - 3), rest + 7) if can else range(1)
        reach.append([(count * division, max(0, count * division - free)) for count in counts])
    found = sorted(product(*reach), key=lambda masses: sum(extra for _, extra in masses))
    return [dict(zip(run.content, (mass for mass, _ in masses), strict=True)) for masses in found]


def least_extra(run: Run, limits_: Limits, needed_l: float, guard: Fraction) -> Fraction | None:
    """Least that must be added beyond the plan, by trying everything; None where nothing will do."""
    rule = run.recipe.water
    for added in every_way(run, limits_):
        totals = {key: run.content[key] + mass for key, mass in added.items()}
        under, water = basis(run, totals, rule.of), free_water(run, totals)
        sure = (rule.least + guard) * under <= water <= (rule.most - guard) * under
        if not sure or litres(run, totals) < needed_l or not allowed(run, limits_, added):
            continue
        if not list(problems(run, limits_, totals)):
            return extra_mg(run, limits_, added)
    return None


@pytest.mark.parametrize("count", [12, pytest.param(40, marks=pytest.mark.deep)])
def test_nothing_adds_less(count: int) -> None:
    compared = 0
    for run, found in islice(small_batches(seed=4), count):
        stands = situation(run, found)
        mend, solution = Search(stands, Freedom(), LEAST_ADDED).found()
        guard = stands.water.guard if stands.water is not None else Fraction(0)
        least = least_extra(run, found, stands.needed_l, guard)
        if least is None:
            continue
        assert mend is not None
        assert solution.outcome == "optimal"
        ours = extra_mg(run, found, {key: int(mass) for key, mass in mend.added.items()})
        assert ours <= least + 500
        compared += 1
    assert compared > count * 3 / 8
