"""From a plan to a kept plan with each bucket's recipe as it is mixed, and from that to the order of one bucket."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from mixstation.batch.events import Amount, Lot, ScaleOnFile, WeighedApart, Weighing
from mixstation.plan.apart import weighed_beside
from mixstation.plan.as_data import plan_data
from mixstation.plan.diluted import dilution_ratio, neat_share, with_dilution
from mixstation.plan.dosing import DoseWeighing, Scale
from mixstation.plan.job_parts import JobPlan, Shop
from mixstation.plan.stock import on_hand_mg
from mixstation.plan.weigh_out import BucketPlan
from mixstation.planning.around import StockHeld
from mixstation.planning.kept import FORM, KeptBucket, KeptPlan
from mixstation.recipe.file import LoadedRecipe
from mixstation.recipe.model import AddStep, Recipe, ReleaseStep, Role
from mixstation.record.stock_draws import recipe_as_written
from mixstation.station.order import Order
from mixstation.units.clean import clean
from mixstation.units.show import DisplayUnits
from mixstation.wording import planning as words
from mixstation.wording.plan import PlanSpeech, speech_for
from mixstation.wording.plan_sections import plan_sections
from mixstation.wording.safety import with_safety
from mixstation.wording.sections import plan_text

_LONGEST_PIECE = 100


def to_keep(
    plan: JobPlan,
    loaded: LoadedRecipe,
    *,
    plan_id: str,
    made_ms: int,
    units: DisplayUnits,
    weighing: Weighing = "bucket",
) -> KeptPlan:
    """A plan as it is kept."""
    main, vessel = main_weighing(plan, weighing)
    speech = speech_for(plan.request.recipe, units)
    bucket = plan.request.shop.bucket
    climate = plan.request.climate
    cast = ", ".join(f"{each.piece.count} × {each.piece.name}" for each in plan.pieces)
    return KeptPlan(
        form=FORM,
        plan_id=plan_id,
        made_ms=made_ms,
        piece=clean(cast, _LONGEST_PIECE),
        recipe_text=loaded.text,
        recipe_hash=loaded.hash,
        weighing=vessel,
        scale=on_file(main),
        bucket_l=bucket.volume_l,
        fill_limit=float(bucket.limit_fraction),
        shop_c=None if climate is None else climate.shop_c,
        buckets=tuple(_kept_bucket(plan, each, main, speech) for each in plan.buckets),
        lines=plan_text(plan_sections(plan, units)),
        data=with_safety(plan_data(plan)),
        vessels=plan.request.shop.vessels,
    )


def _kept_bucket(plan: JobPlan, bucket: BucketPlan, main: Scale | None, speech: PlanSpeech) -> KeptBucket:
    recipe = bench_recipe(plan, bucket, main, speech)
    return KeptBucket(
        recipe=recipe,
        powders=tuple(Amount(material=key, mass_mg=mass_mg) for key, mass_mg in bucket.powders),
        needed_l=bucket.needed_l,
        weighed_apart=weighed_apart(recipe, dict(bucket.powders), main, plan.request.shop),
    )


def order_of(kept: KeptPlan, number: int, held: StockHeld | None) -> Order:
    """The order of one bucket, with the stock as it is now, or None where it is not kept.

    Raises:
        IndexError: The plan has no such bucket.
    """
    if not 1 <= number <= len(kept.buckets):
        raise IndexError(number)
    bucket = kept.buckets[number - 1]
    return Order(
        loaded=LoadedRecipe(recipe=bucket.recipe, text=kept.recipe_text, hash=kept.recipe_hash, warnings=()),
        powders={amount.material: amount.mass_mg for amount in bucket.powders},
        piece=kept.piece,
        weighing=kept.weighing,
        scale=kept.scale,
        bucket_l=kept.bucket_l,
        fill_limit=kept.fill_limit,
        bucket_number=number,
        bucket_count=len(kept.buckets),
        needed_l=bucket.needed_l,
        stock=stock_of(bucket.recipe, recipe_as_written(kept.recipe_text, bucket.recipe), held),
        lots=lots_of(bucket.recipe, held),
        shop_c=kept.shop_c,
        plan=kept.plan_id,
        weighed_apart=bucket.weighed_apart,
        fibres_apart=True,
        vessels=kept.vessels,
    )


def stock_of(recipe: Recipe, neat: Recipe, held: StockHeld | None) -> tuple[Amount, ...]:
    """What there is of each material that is kept count of, as the recipe weighs it.

    Args:
        neat: The recipe as its file has it; a dilution is as many times what is on hand of its material.
    """
    if held is None:
        return ()
    there = on_hand_mg(held.lines)
    return tuple(
        Amount(
            material=material.key,
            mass_mg=round(
                Fraction(max(0, there.get(material.key, 0)))
                / neat_share(material, neat.material(material.key))
            ),
        )
        for material in recipe.materials
        if material.key in held.known and material.role not in (Role.WATER, Role.ICE)
    )


def lots_of(recipe: Recipe, held: StockHeld | None) -> tuple[Lot, ...]:
    """The lots on hand of each material, as far as they bear a mark; of several the mixer says which is used."""
    if held is None:
        return ()
    lots: dict[str, list[str]] = {}
    for line in held.lines:
        if line.mass_mg > 0:
            lots.setdefault(line.material, []).append(line.lot)
    return tuple(
        Lot(material=material.key, lot=lot)
        for material in recipe.materials
        for lot in lots.get(material.key, ())
        if lot
    )


def main_weighing(plan: JobPlan, liked: Weighing) -> tuple[Scale | None, Weighing]:
    """The scale the bench works with, and what stands on it.

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
    """What of a bucket is weighed on a finer scale than the bench's, as a batch's start has it."""
    if main is None:
        return ()
    units = {scale.name: scale.unit for scale in shop.scales}
    return tuple(
        WeighedApart(
            material=each.material,
            scale=each.scale,
            division_mg=each.division_mg,
            unit=units.get(each.scale, ""),
        )
        for each in weighed_beside(recipe, powders_mg, main, shop)
    )


def bench_recipe(plan: JobPlan, bucket: BucketPlan, main: Scale | None, speech: PlanSpeech) -> Recipe:
    """The recipe of a bucket for the bench, dilutions materials of their own and notes in the steps that want one."""
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
