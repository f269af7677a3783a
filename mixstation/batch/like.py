"""Two buckets of one colour: what a batch really got, and the aim of another that is to come out like it.

Rules: the recipe's bands and caps stay what they are; another batch is followed as far as they let it be.
"""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from mixstation.batch.events import Aim, BatchStarted, DoseAim, Got, Mixed
from mixstation.batch.lots import lots_used
from mixstation.batch.moment import worked_s
from mixstation.batch.run import Run
from mixstation.batch.targets import dose_band, dose_now, water_ratio
from mixstation.recipe.model import MixStep, Recipe, Role

COLOURS = frozenset({Role.PIGMENT, Role.POLYMER})
"""Roles whose dose, beside the water, shows in the colour. Source: Common practice, no source."""


def got(run: Run, bucket_number: int = 0, *, steers: bool = True) -> Got | None:
    """What a batch got; None for one that was not closed, or holds nothing its water is reckoned on.

    Args:
        bucket_number: Of the plan that the asking batch is of; 0 for none.
        steers: Whether the asking batch is steered to it.
    """
    ratio = water_ratio(run.recipe, run.content)
    if run.ended != "finished" or ratio is None:
        return None
    start = run.start
    return Got(
        batch_id=start.batch_id,
        bucket_number=bucket_number,
        water_ratio=ratio,
        doses=tuple(
            DoseAim(material=key, fraction=dose) for key, dose in doses(run.recipe, run.content).items()
        ),
        mixed=tuple(_mixed(run)),
        lots=lots_used(run),
        mix_milli_c=run.mix_milli_c,
        shop_c=start.shop_c,
        steers=steers,
    )


def doses(recipe: Recipe, content: Mapping[str, Fraction]) -> dict[str, Fraction]:
    """The doses that show in the colour, each on its own basis."""
    known = {each.key: dose_now(recipe, each, content) for each in recipe.materials if each.role in COLOURS}
    return {key: dose for key, dose in known.items() if dose is not None}


def is_same_colour(recipe: Recipe, other: Recipe) -> bool:
    """Whether two recipes are to give one colour: the same name and the same pigments."""
    return recipe.name == other.name and _pigments(recipe) == _pigments(other)


def aim_like(start: BatchStarted, unsure: Fraction) -> Aim:
    """The aim of a batch that is steered to another: what that one got, as far as the bands allow.

    Args:
        start: Its `like` is followed; with none its aim stays.
        unsure: How far the water ratio cannot be told on this scale; the band is kept to surely.
    """
    like, aim, rule = start.like, start.aim, start.recipe.water
    if like is None or not like.steers:
        return aim
    least, most = rule.least + unsure, rule.most - unsure
    ratio = min(max(like.water_ratio, least), most) if least <= most else aim.water_ratio
    had = {dose.material: dose.fraction for dose in like.doses}
    return replace(
        aim, water_ratio=ratio, doses=tuple(_dose_like(start.recipe, dose, had) for dose in aim.doses)
    )


def _dose_like(recipe: Recipe, aimed: DoseAim, had: Mapping[str, Fraction]) -> DoseAim:
    material = recipe.material(aimed.material)
    if material.role not in COLOURS or aimed.material not in had:
        return aimed
    least, most = dose_band(material)
    return replace(aimed, fraction=min(max(had[aimed.material], least), most))


def _mixed(run: Run) -> list[Mixed]:
    """Mixing steps whose time is known: begun and ended in one run of the machine."""
    found = []
    for step in run.steps:
        began, ended = run.timers.get(step.key), run.done_at.get(step.key)
        if isinstance(step, MixStep) and began and ended and began.boot_id == ended.boot_id:
            found.append(Mixed(step=step.key, took_s=int(worked_s(began, ended))))
    return found


def _pigments(recipe: Recipe) -> frozenset[str]:
    return frozenset(each.name for each in recipe.materials if each.role is Role.PIGMENT)
