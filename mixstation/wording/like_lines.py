"""A batch beside an earlier one of its colour: before the first water, while it is mixed, and at the end."""

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Final

from mixstation.batch.events import Got
from mixstation.batch.like import doses
from mixstation.batch.lots import at_hand
from mixstation.batch.run import Run
from mixstation.batch.targets import water_ratio
from mixstation.recipe.model import MixStep, Recipe
from mixstation.units.clean import clean
from mixstation.units.show import DisplayUnits, show_duration, show_percent, show_ratio, show_temperature_c

AS_IT: Final = "As {which}: {what}."
TOLD: Final = "{which} got {what}."
HELD: Final = "{which} got {what}: the band allows no more."
MIXED_S: Final = "{which} was mixed {time}."
ENDS: Final = "Beside {which}: {what}."
THEN: Final = "{which}: {then}. Today: {today}."
FIRST_DONE: Final = "Bucket {number} got {what}. The other buckets aim at that."
NONE_EARLIER: Final = "No closed batch of this colour is on record."
_LONGEST: Final = 60


def which_said(like: Got) -> str:
    """The earlier batch in words."""
    return f"bucket {like.bucket_number}" if like.bucket_number else f"batch {clean(like.batch_id, _LONGEST)}"


def before_water(run: Run, units: DisplayUnits) -> tuple[str, ...]:
    """How the aim differs from the recipe for the sake of an earlier batch, and what else is other today."""
    like = run.start.like
    if like is None:
        return ()
    which, recipe, aim = which_said(like), run.recipe, run.start.aim
    own = (recipe.water.target, {each.key: each.dose.fraction for each in recipe.materials if each.dose})
    aims = (aim.water_ratio, {dose.material: dose.fraction for dose in aim.doses})
    had = (like.water_ratio, {dose.material: dose.fraction for dose in like.doses})
    lines = []
    if like.steers:
        if what := _apart(recipe, aims, own, "recipe", had[1]):
            lines.append(AS_IT.format(which=which, what=what))
        if what := _apart(recipe, had, aims, "here", had[1]):
            lines.append(HELD.format(which=which.capitalize(), what=what))
    elif what := _apart(recipe, had, aims, "here", had[1]):
        lines.append(TOLD.format(which=which.capitalize(), what=what))
    return (*lines, *_today(run, like, units))


def while_mixing(run: Run) -> tuple[str, ...]:
    """How long an earlier batch was mixed at the step at hand."""
    like, step = run.start.like, run.step
    if like is None or not isinstance(step, MixStep):
        return ()
    took = (each.took_s for each in like.mixed if each.step == step.key)
    return tuple(
        MIXED_S.format(which=which_said(like).capitalize(), time=show_duration(took_s)) for took_s in took
    )


def at_the_end(run: Run) -> tuple[str, ...]:
    """How what is in differs from an earlier batch; "the same" is said too."""
    like, ratio = run.start.like, water_ratio(run.recipe, run.content)
    if like is None or ratio is None:
        return ()
    ours = (ratio, doses(run.recipe, run.content))
    had = (like.water_ratio, {dose.material: dose.fraction for dose in like.doses})
    what = _apart(run.recipe, ours, had, "there", had[1]) or f"water {show_ratio(ratio)} in both"
    return (ENDS.format(which=which_said(like), what=what),)


def first_done(number: int, run: Run) -> str:
    """What a plan's first bucket got otherwise than its recipe says, which the others are told; "" for nothing."""
    ratio = water_ratio(run.recipe, run.content)
    if ratio is None:
        return ""
    own = (
        run.recipe.water.target,
        {each.key: each.dose.fraction for each in run.recipe.materials if each.dose},
    )
    ours = (ratio, doses(run.recipe, run.content))
    what = _apart(run.recipe, ours, own, "recipe", ours[1])
    return FIRST_DONE.format(number=number, what=what) if what else ""


_Aimed = tuple[Fraction, Mapping[str, Fraction]]


def _apart(recipe: Recipe, one: _Aimed, other: _Aimed, name: str, of: Iterable[str]) -> str:
    """Where two batches differ as far as it shows: each figure of the first, with the other's behind it."""
    pairs = [("water", show_ratio(one[0]), show_ratio(other[0]))]
    pairs += [
        (clean(recipe.material(key).name, _LONGEST), _dose(one[1][key]), _dose(other[1][key]))
        for key in of
        if key in one[1] and key in other[1]
    ]
    return ", ".join(f"{what} {said} ({name} {beside})" for what, said, beside in pairs if said != beside)


def _dose(fraction: Fraction) -> str:
    # Choice: a thirtieth of a dose and less is seen in no colour.
    return show_percent(fraction, 1 if fraction >= Fraction(1, 100) else 2)


def _today(run: Run, like: Got, units: DisplayUnits) -> tuple[str, ...]:
    """Lots and temperatures then and today, where they differ; the mix of today is not there yet."""
    start = run.start
    then, today = [], []
    lots = {lot.material: at_hand(start, run.lots, lot.material) for lot in like.lots}
    for lot in like.lots:
        if lot.material in run.content and lots[lot.material] != lot.lot:
            name = clean(run.recipe.material(lot.material).name, _LONGEST)
            then.append(f"{name} lot {clean(lot.lot, _LONGEST)}")
            today.append(
                f"lot {clean(lots[lot.material], _LONGEST)}" if lots[lot.material] else "lot not said"
            )
    if like.mix_milli_c is not None and not like.bucket_number:
        then.append(f"mix {show_temperature_c(like.mix_milli_c / 1000, units)}")
    if like.shop_c is not None and like.shop_c != start.shop_c:
        then.append(f"shop {show_temperature_c(like.shop_c, units)}")
        today.append(
            "shop not said" if start.shop_c is None else f"shop {show_temperature_c(start.shop_c, units)}"
        )
    if not then:
        return ()
    which = which_said(like).capitalize()
    return (THEN.format(which=which, then=", ".join(then), today=", ".join(today) or "nothing measured yet"),)
