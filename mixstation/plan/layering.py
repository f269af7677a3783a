"""The face coat taken from the bucket before the fibres go in: where, how much, and the recipe each bucket follows."""

from dataclasses import replace
from fractions import Fraction
from typing import assert_never

from mixstation.recipe import model
from mixstation.recipe.proportions import Masses, whole_totals

ADDED_SPLIT_KEY = "face-coat-off"


def split_step(recipe: model.Recipe) -> model.SplitStep | None:
    """The recipe's own step that takes a layer out, the first if it has several."""
    return next((step for step in recipe.steps if isinstance(step, model.SplitStep)), None)


def with_split(recipe: model.Recipe, fraction: Fraction, layer: str) -> model.Recipe:
    """The recipe of a bucket from which a layer is taken.

    Args:
        recipe: The recipe; its own split keeps its place, else one goes in before the first fibres, or last.
        fraction: Of what is then in the bucket, above 0, below 1.

    Source: Common practice, no source: the face coat holds no fibres.
    """
    own = split_step(recipe)
    if own is not None:
        split = replace(own, fraction=fraction, layer=layer)
        steps = [split if step is own else step for step in recipe.steps]
        kept = tuple(step for step in steps if step is split or not isinstance(step, model.SplitStep))
        return replace(recipe, steps=kept)
    split = model.SplitStep(key=ADDED_SPLIT_KEY, layer=layer, fraction=fraction)
    place = next((at for at, step in enumerate(recipe.steps) if _adds_fibre(recipe, step)), len(recipe.steps))
    return replace(recipe, steps=(*recipe.steps[:place], split, *recipe.steps[place:]))


def without_split(recipe: model.Recipe) -> model.Recipe:
    """The recipe of a bucket that goes into one layer. Source: Definition."""
    steps = tuple(step for step in recipe.steps if not isinstance(step, model.SplitStep))
    return replace(recipe, steps=steps)


def totals_at_split(recipe: model.Recipe, powder_dry_mg: Fraction | int) -> Masses:
    """What is in the bucket when the layer is taken out, weighed milligrams by material; 0 for what goes in later.

    Args:
        powder_dry_mg: All powders together, dry, milligrams, above 0.

    Raises:
        ScalingError: See `mixstation.recipe.proportions.whole_totals`.
    """
    shares = {material.key: Fraction(0) for material in recipe.materials}
    for step in recipe.steps:
        match step:
            case model.SplitStep():
                break
            case model.AddStep():
                shares[step.material] = step.cumulative
            case model.ReleaseStep():
                shares[step.material] = Fraction(1)
            case model.MixStep() | model.ScrapeStep() | model.RestStep():
                pass
            case model.ConsistencyStep() | model.TemperatureStep() | model.NoteStep():
                pass
            case _ as forgotten:
                assert_never(forgotten)
    return {key: mass * shares[key] for key, mass in whole_totals(recipe, powder_dry_mg).items()}


def _adds_fibre(recipe: model.Recipe, step: model.Step) -> bool:
    return isinstance(step, model.AddStep) and recipe.material(step.material).role is model.Role.FIBRE
