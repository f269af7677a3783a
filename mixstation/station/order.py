"""The order of one bucket and the start of a batch from it; and the ways out for a bucket known by someone's word."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from os import urandom
from typing import Literal

from mixstation import __version__
from mixstation.batch import events
from mixstation.batch.like import aim_like
from mixstation.batch.portion import holds_what_follows_a_layer, layer_is_out
from mixstation.batch.run import Run, fold
from mixstation.batch.targets import aim_of, project
from mixstation.batch.way import EndsLate, Way
from mixstation.batch.ways import limits_of, ways_out
from mixstation.frozen import Frozen
from mixstation.recipe.file import LoadedRecipe
from mixstation.recipe.proportions import scale_to_material, scale_to_total, totals_for_powder
from mixstation.station.clocks import Clock
from mixstation.units.clean import clean
from mixstation.units.settings import Settings

LONGEST_NAME = 100
LastBatch = Literal["", "show", "aim"]
_NO_TIME = events.Stamp(utc_ms=0, offset_min=0, boot_ms=0, mono_ms=0, boot_id="", who="")


class Order(Frozen):
    """What is to be mixed in one bucket.

    Attributes:
        powders: Weighed mass of each powder, milligrams.
        needed_l: Volume the moulds need from this bucket; 0 if not planned.
        fibres_apart: Whether fibres are weighed into a tub first.
        sand_unsaid: Whether nobody was asked yet how damp the sand is.
        plan: Id of the plan this bucket is of, or "".
        last_batch: Whether the last batch of the colour is shown beside it, or aimed at; a plan's own goes before.
    """

    loaded: LoadedRecipe
    powders: Mapping[str, int]
    piece: str = ""
    weighing: events.Weighing = "bucket"
    scale: events.ScaleOnFile | None = None
    # Choice: a common mixing bucket, filled to two thirds at most.
    bucket_l: float = 30.0
    fill_limit: float = 2 / 3
    bucket_number: int = 1
    bucket_count: int = 1
    needed_l: float = 0.0
    stock: tuple[events.Amount, ...] = ()
    lots: tuple[events.Lot, ...] = ()
    shop_c: float | None = None
    plan: str = ""
    weighed_apart: tuple[events.WeighedApart, ...] = ()
    vessels: tuple[events.VesselOnFile, ...] = ()
    last_batch: LastBatch = ""
    sand_unsaid: bool = False
    fibres_apart: bool = False


def powders_for(
    loaded: LoadedRecipe,
    *,
    powder_mg: int | None = None,
    total_mg: int | None = None,
    material: tuple[str, int] | None = None,
) -> dict[str, int]:
    """Weighed powder masses, mg, for all powders together, dry, a total of everything, or a mass of one material.

    Raises:
        ScalingError: The recipe cannot be scaled so.
        ValueError: Not exactly one of the three was given.
    """
    recipe = loaded.recipe
    if (powder_mg is not None) + (total_mg is not None) + (material is not None) != 1:
        raise ValueError("one of powder_mg, total_mg, material")
    if powder_mg is not None:
        masses = totals_for_powder(recipe, powder_mg)
    elif total_mg is not None:
        masses = scale_to_total(recipe, total_mg)
    else:
        assert material is not None
        masses = scale_to_material(recipe, material[0], Fraction(material[1]))
    return {key: round(mass) for key, mass in masses.items() if recipe.material(key).is_powder}


def start_fact(
    order: Order, batch_id: str, settings: Settings | None = None, like: events.Got | None = None
) -> events.BatchStarted:
    """The start of a batch, steered to what an earlier one got as far as the bands allow.

    Args:
        settings: How it is shown and weighed; None for a bucket that is only told of.
        like: What an earlier batch of the colour got, or None.
    """
    start = events.BatchStarted(
        batch_id=batch_id,
        piece=clean(order.piece, LONGEST_NAME),
        recipe_text=order.loaded.text,
        recipe_hash=order.loaded.hash,
        recipe=order.loaded.recipe,
        aim=aim_of(order.loaded.recipe, order.powders),
        weighing=order.weighing,
        scale=order.scale,
        bucket_l=order.bucket_l,
        fill_limit=order.fill_limit,
        bucket_number=order.bucket_number,
        bucket_count=order.bucket_count,
        needed_l=order.needed_l,
        stock=order.stock,
        lots=tuple(replace(lot, lot=clean(lot.lot, LONGEST_NAME)) for lot in order.lots),
        shop_c=order.shop_c,
        program=__version__,
        weighed_apart=order.weighed_apart,
        vessels=order.vessels,
        settings=settings,
        like=like,
        sand_unsaid=order.sand_unsaid,
        fibres_apart=order.fibres_apart,
    )
    if like is None:
        return start
    run = fold((events.Entry(seq=1, stamp=_NO_TIME, fact=start),))
    own_mg = 0 if settings is None else settings.division_mg
    unsure = project(run, own_mg if order.scale is None else order.scale.division_mg).expanded
    return replace(start, aim=aim_like(start, Fraction(unsure)))


def new_batch_id(clock: Clock, of: Order) -> str:
    """A name for a batch: local date and time, a little chance against two in one minute, and the plan it is of."""
    now = datetime.fromtimestamp(clock.moment().utc_ms / 1000, tz=UTC).astimezone()
    planned = of_plan(of.plan, of.bucket_number) if of.plan else ""
    return f"{now:%Y%m%d-%H%M}-{urandom(2).hex()}{planned}"


def of_plan(plan_id: str, bucket_number: int) -> str:
    """How the name of a batch that is a bucket of a plan ends."""
    return f"-{plan_id}-{bucket_number}"


class ToldBucket(Frozen):
    """What is in a bucket by someone's word.

    Attributes:
        inside: Weighed mass of each material in it, milligrams, above 0.
        division_mg: Of the scale that will weigh what is added.
        working_left_s: Working time left, or None where it is not known.
        layer_out: The first layer (the face coat) was taken out; what is in is what was left of it.
    """

    order: Order
    inside: Mapping[str, int]
    division_mg: int
    working_left_s: int | None = None
    stiffening: bool = False
    layer_out: bool = False


def told_run(told: ToldBucket) -> Run:
    """A batch with those contents; every step that is not yet filled is still to come.

    Raises:
        FoldError: "unknown-material": the recipe has no such material.
    """
    facts: list[events.Fact] = [start_fact(told.order, "told"), events.SafetyAcknowledged()]
    facts += [
        events.WeightRecorded(
            step=None,
            material=material,
            mass_mg=mass_mg,
            source="estimated",
            shown="",
            division_mg=told.division_mg,
            reason="told",
        )
        for material, mass_mg in told.inside.items()
    ]
    run = fold(events.Entry(seq=seq, stamp=_NO_TIME, fact=fact) for seq, fact in enumerate(facts, start=1))
    # Fibres go in after the layer is out, so that with them in it is out even if nobody said so.
    return layer_is_out(run) if told.layer_out or holds_what_follows_a_layer(run) else run


def ways_for(told: ToldBucket) -> tuple[Run, tuple[Way, ...]]:
    """The batch as told, and its ways out, best first: one that takes longer than is left is barred and comes last.

    Raises:
        FoldError: As `told_run`.
    """
    run = told_run(told)
    divisions_mg = {key: run.division_of(key, told.division_mg) for key in run.content}
    limits = limits_of(run, divisions_mg, told.working_left_s, stiffening=told.stiffening)
    ways = tuple(_in_time(way) for way in ways_out(run, limits))
    return run, tuple(sorted(ways, key=lambda way: bool(way.hindrances)))


def _in_time(way: Way) -> Way:
    """The time left is here no estimate but told: what would end past it cannot be taken, nor be left to itself."""
    left_s = way.working_left_s
    if way.kind == "discard" or not way.takes_s or left_s is None or left_s >= 0:
        return way
    barred = EndsLate(past_s=round(-left_s))
    gives_up = tuple(code for code in way.gives_up if code != "time")
    return replace(way, hindrances=(*way.hindrances, barred), gives_up=gives_up)
