"""From a plan to a kept plan, and from a kept plan to the order of one bucket."""

from fractions import Fraction

from mixstation.batch.events import Amount, Lot, Weighing
from mixstation.plan.as_data import plan_data
from mixstation.plan.diluted import neat_share
from mixstation.plan.dosing import Scale
from mixstation.plan.job_parts import JobPlan
from mixstation.plan.stock import on_hand_mg
from mixstation.plan.weigh_out import BucketPlan
from mixstation.planning.around import StockHeld
from mixstation.planning.bench_recipe import bench_recipe, main_weighing, on_file, weighed_apart
from mixstation.planning.kept import FORM, KeptBucket, KeptPlan
from mixstation.recipe.file import LoadedRecipe
from mixstation.recipe.model import Recipe, Role
from mixstation.record.stock_draws import recipe_as_written
from mixstation.station.opening import Order
from mixstation.units.clean import clean
from mixstation.units.show import DisplayUnits
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
    """A plan as it is kept.

    Args:
        plan: The plan.
        loaded: Its recipe with the text.
        plan_id: Its id.
        made_ms: When it was made.
        units: What notes and lines are written in.
        weighing: What the mixer likes on the scale.
    """
    main, vessel = main_weighing(plan, weighing)
    speech = speech_for(plan.request.recipe, units)
    bucket = plan.request.shop.bucket
    climate = plan.request.climate
    return KeptPlan(
        form=FORM,
        plan_id=plan_id,
        made_ms=made_ms,
        piece=piece_words(plan),
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
    )


def _kept_bucket(plan: JobPlan, bucket: BucketPlan, main: Scale | None, speech: PlanSpeech) -> KeptBucket:
    recipe = bench_recipe(plan, bucket, main, speech)
    return KeptBucket(
        recipe=recipe,
        powders=tuple(Amount(material=key, mass_mg=mass_mg) for key, mass_mg in bucket.powders),
        needed_l=bucket.needed_l,
        weighed_apart=weighed_apart(recipe, dict(bucket.powders), main, plan.request.shop),
    )


def piece_words(plan: JobPlan) -> str:
    """What is cast: how many of which."""
    words = ", ".join(f"{each.piece.count} × {each.piece.name}" for each in plan.pieces)
    return clean(words, _LONGEST_PIECE)


def order_of(kept: KeptPlan, number: int, held: StockHeld | None) -> Order:
    """The order of one bucket.

    Args:
        kept: The plan.
        number: The bucket, from 1.
        held: The stock as it is now, or None where it is not kept.

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
    )


def stock_of(recipe: Recipe, neat: Recipe, held: StockHeld | None) -> tuple[Amount, ...]:
    """What there is of each material that is kept count of, as the recipe weighs it.

    Args:
        recipe: The recipe as it is mixed by.
        neat: The recipe as its file has it; a dilution is as many times what is on hand of its material.
        held: The stock, or None where it is not kept.
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
    """The lot of each material of which there is one alone; of others it is not known which is used."""
    if held is None:
        return ()
    lots: dict[str, list[str]] = {}
    for line in held.lines:
        if line.mass_mg > 0:
            lots.setdefault(line.material, []).append(line.lot)
    return tuple(
        Lot(material=material.key, lot=lots[material.key][0])
        for material in recipe.materials
        if len(lots.get(material.key, [])) == 1 and lots[material.key][0]
    )
