"""How damp the sand is today: asked once before anything goes in, where nobody has said it."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from mixstation.batch.events import Aim, SandFound
from mixstation.batch.state import Run
from mixstation.plan.sand import with_moisture
from mixstation.recipe.model import Recipe, Role


def sand_to_ask(run: Run) -> str | None:
    """The first sand of unsaid moisture; None once something is in, or where plan or recipe have said it."""
    if not run.start.sand_unsaid or run.in_bucket_mg:
        return None
    sands = (each for each in run.recipe.materials if each.role is Role.SAND and not each.moisture_fraction)
    return next((sand.key for sand in sands if sand.key not in run.sands), None)


def damped(run: Run, fact: SandFound) -> Run:
    """The recipe with that sand, and as much dry sand as before aimed at.

    Source: ACI 211.1-91 section 6.3.8, from memory.
    """
    before = run.recipe
    recipe = with_moisture(before, fact.material, fact.moisture)
    return replace(
        run,
        damp=recipe,
        aim=_same_dry(run.aim, before, recipe),
        sands={**run.sands, fact.material: fact.moisture},
    )


def _same_dry(aim: Aim, before: Recipe, recipe: Recipe) -> Aim:
    drier: Mapping[str, Fraction] = {
        each.key: before.material(each.key).dry_fraction / each.dry_fraction
        for each in recipe.materials
        if each.is_powder
    }
    powders = tuple(
        replace(amount, mass_mg=round(amount.mass_mg * drier[amount.material])) for amount in aim.powders
    )
    return replace(aim, powders=powders)
