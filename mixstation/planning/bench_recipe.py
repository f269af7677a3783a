"""The recipe as one bucket is mixed by it: dilutions in place of small doses, and at each step where it is weighed."""

from collections.abc import Mapping
from dataclasses import replace

from mixstation.batch.events import ScaleOnFile, WeighedApart, Weighing
from mixstation.plan.apart import weighed_beside
from mixstation.plan.diluted import dilution_ratio, with_dilution
from mixstation.plan.dosing import DoseWeighing, Scale
from mixstation.plan.job_parts import JobPlan, Shop
from mixstation.plan.weigh_out import BucketPlan
from mixstation.recipe.model import AddStep, Recipe, ReleaseStep
from mixstation.wording import planning as words
from mixstation.wording.plan import PlanSpeech


def main_weighing(plan: JobPlan, liked: Weighing) -> tuple[Scale | None, Weighing]:
    """The scale the bench works with, and what stands on it.

    Args:
        plan: The plan.
        liked: What the mixer likes on the scale.

    Returns:
        The scale of the heaviest powder, or None where no scale is on file; a tub where the bucket is too heavy for it.

    Source: Choice: the powders make the bucket.
    """
    masses = dict(plan.totals)
    powders = [each for each in plan.weighings if plan.request.recipe.material(each.material).is_powder]
    heaviest = max(powders, key=lambda each: masses.get(each.material, 0), default=None)
    scales = {scale.name: scale for scale in plan.request.shop.scales}
    if heaviest is None or heaviest.scale not in scales:
        return None, liked
    too_heavy = heaviest.vessel == "tub" and liked == "bucket"
    return scales[heaviest.scale], "tub" if too_heavy else liked


def carries_most(shop: Shop) -> Scale | None:
    """The scale of a bench that names none, or None where none is on file. Source: Choice: it takes the bucket."""
    return max(shop.scales, key=lambda scale: scale.capacity_mg, default=None)


def on_file(scale: Scale | None) -> ScaleOnFile | None:
    """A scale on file as a batch's start has it."""
    if scale is None:
        return None
    return ScaleOnFile(
        name=scale.name,
        capacity_mg=scale.capacity_mg,
        division_mg=scale.division_mg,
        checked="" if scale.checked is None else scale.checked.isoformat(),
    )


def weighed_apart(
    recipe: Recipe, powders_mg: Mapping[str, int], main: Scale | None, shop: Shop
) -> tuple[WeighedApart, ...]:
    """What of a bucket is weighed on a finer scale than the bench's, as a batch's start has it.

    Args:
        recipe: The bucket's recipe.
        powders_mg: Weighed mass of each powder.
        main: The scale the bench works with, or None.
        shop: Its other scales, and its vessels.
    """
    if main is None:
        return ()
    return tuple(
        WeighedApart(material=each.material, scale=each.scale, division_mg=each.division_mg)
        for each in weighed_beside(recipe, powders_mg, main, shop)
    )


def bench_recipe(plan: JobPlan, bucket: BucketPlan, main: Scale | None, speech: PlanSpeech) -> Recipe:
    """The recipe of a bucket for the bench.

    Args:
        plan: The plan.
        bucket: One of its buckets.
        main: The scale the bench works with, or None.
        speech: How to say masses and names.

    Returns:
        The bucket's recipe, with dilutions as materials of their own and a note in each step that wants one.
    """
    recipe = bucket.recipe
    weighings = {each.material: each for each in plan.weighings}
    for key, each in weighings.items():
        if each.dilution is not None:
            ratio = dilution_ratio(each.dilution)
            name = words.DILUTED_NAME.format(name=speech.name(key), ratio=ratio)
            recipe = with_dilution(recipe, key, ratio, name)
    apart = {each.material for each in weighed_apart(recipe, dict(bucket.powders), main, plan.request.shop)}
    planned = {(line.step, line.material): line.mass_mg for line in bucket.weigh_outs}
    # The bench itself says of what is weighed apart where and how much.
    told = {key: each for key, each in weighings.items() if key not in apart or each.dilution is not None}
    return replace(
        recipe,
        steps=tuple(
            _noted(step, told, planned, plan, main, speech)
            if isinstance(step, AddStep | ReleaseStep)
            else step
            for step in recipe.steps
        ),
    )


def _noted(
    step: AddStep | ReleaseStep,
    weighings: Mapping[str, DoseWeighing],
    planned: Mapping[tuple[str, str], int],
    plan: JobPlan,
    main: Scale | None,
    speech: PlanSpeech,
) -> AddStep | ReleaseStep:
    weighing = weighings.get(step.material)
    if weighing is None or not planned.get((step.key, step.material), 0):
        return step
    notes = _notes(weighing, plan, main, speech)
    return replace(step, say=" ".join(filter(None, (*notes, step.say)))) if notes else step


def _notes(weighing: DoseWeighing, plan: JobPlan, main: Scale | None, speech: PlanSpeech) -> list[str]:
    """Scale and vessel alone: how much is the bench's to say, for a way out may change it."""
    notes = []
    if weighing.dilution is not None:
        count = len(plan.buckets)
        notes.append(
            words.NOTES["dilution"].format(
                scale=weighing.scale,
                name=speech.name(weighing.material),
                material=speech.mass(weighing.dilution.material_mg, weighing.division_mg),
                water=speech.mass(weighing.dilution.water_mg, weighing.division_mg),
                buckets=words.FOR_ONE if count == 1 else words.FOR_ALL.format(count=count),
            )
        )
    elif weighing.kind == "difference":
        notes.append(words.NOTES["difference"].format(scale=weighing.scale))
    elif weighing.scale and (main is None or weighing.scale != main.name):
        notes.append(words.NOTES["other"].format(scale=weighing.scale))
    if weighing.fills_count > 1:
        notes.append(words.NOTES["fills"].format(count=weighing.fills_count))
    return notes
