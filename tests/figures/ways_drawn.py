"""Troubles at the bucket drawn from a seed: poured wrong, run out, spilt, accepted, short of stock, room or time."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction
from random import Random

from mixstation.batch.events import StepDone
from mixstation.batch.run import Run, fold
from mixstation.batch.ways import Limits
from mixstation.recipe.model import AddStep, Recipe, Role, Tolerance
from tests.batch.ways.bucket import BLEND, BLEND_KG, RAW, RAW_KG, begin, limits, skipped, told, work
from tests.figures import troubles

Act = Callable[[Run], Run]

WRONG = ("0.6", "0.8", "0.9", "0.97", "1.03", "1.1", "1.2", "1.36", "1.6", "2.2")
# Flags a mixer may leave standing, by what they are of.
LEFT = ("dose-over", "dose-under", "dose-over-cap", "dose-missing", "ran-out")
_NO_SLACK = Tolerance(under=Fraction(1, 100), over=Fraction(0))


def _loose(recipe: Recipe) -> Recipe:
    """The same with powders that may be short but not over, and fibre that may be over but not short."""
    return replace(
        recipe,
        materials=tuple(
            replace(item, tolerance=_NO_SLACK)
            if item.is_powder
            else replace(item, tolerance=Tolerance(under=Fraction(0), over=Fraction(1, 20)))
            if item.role is Role.FIBRE
            else item
            for item in recipe.materials
        ),
    )


RECIPES = (
    RAW,
    BLEND,
    troubles.TINTED,
    troubles.BANDED,
    troubles.THIN,
    troubles.ICED,
    _loose(RAW),
    _loose(BLEND),
    _loose(troubles.TINTED),
)


def trouble(seed: int) -> tuple[Run, Limits]:
    """One of them."""
    dice = Random(seed)
    recipe = dice.choice(RECIPES)
    powders: Mapping[str, int | Fraction] = (
        BLEND_KG if any(item.role is Role.BLEND for item in recipe.materials) else RAW_KG
    )
    run = begin(recipe, powders, bucket_l=dice.choice((0.0, 9.5, 11.0, 12.0, 16.0, 30.0)))
    if dice.random() < 0.15:
        # A dose that the batch is not aimed at.
        aim = run.start.aim
        run = begin(recipe, powders)
        start = replace(run.start, aim=replace(aim, doses=aim.doses[1:]))
        run = fold((replace(run.entries[0], fact=start), *run.entries[1:]))
    divisions = {
        item.key: dice.choice((10_000, 10_000, 50_000, 1000) if item.is_powder else (1000, 1000, 10_000))
        for item in recipe.materials
    }
    keys = [step.key for step in recipe.steps]
    stop = dice.randrange(1, len(keys) + 1)
    factors = {
        key: Fraction(dice.choice(WRONG)) for key in dice.sample(keys[:stop], min(stop, dice.randrange(4)))
    }
    run = work(run, divisions, until=keys[stop] if stop < len(keys) else "", factors=factors)
    for _ in range(dice.randrange(3)):
        run = _act(dice, run)(run)
    return run, limits(run, divisions_mg=divisions, **_bounds(dice, run))


def _act(dice: Random, run: Run) -> Act:
    keys = list(run.content)
    key = dice.choice(keys)
    acts: tuple[Act, ...] = (
        troubles.ran_out(key),
        troubles.accepted(*dice.sample(LEFT, 2), about=key),
        troubles.accepted("water-over-ceiling", "water-over", about="water"),
        troubles.extra(key, dice.choice((20_000, 150_000, 400_000))),
        troubles.extra("water", dice.choice((60_000, 200_000, 400_000))),
        troubles.out(dice.choice((300_000, 1_500_000))),
        troubles.found(dice.choice(("right", "too-stiff", "too-loose"))),
        lambda run: told(run, StepDone(step="release")),
        lambda run: skipped(run) if isinstance(run.step, AddStep) else run,
    )
    return dice.choice(acts)


def _bounds(dice: Random, run: Run) -> dict[str, object]:
    found: dict[str, object] = {}
    if dice.random() < 0.35:
        named = dice.sample(list(run.content), dice.randrange(1, 4))
        found["stock_mg"] = {key: dice.choice((0, 5000, 200_000, 700_000, 5_000_000)) for key in named}
    if dice.random() < 0.35:
        found["needed_l"] = dice.choice((4.0, 6.5, 7.5, 9.0))
    if dice.random() < 0.2:
        found["working_left_s"] = dice.choice((None, 60, 150, 200))
    return found
