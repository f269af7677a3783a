"""Cut a job into buckets: how much powder, which recipe each bucket follows, exact masses before any rounding."""

from collections.abc import Mapping
from fractions import Fraction
from typing import assert_never

from mixstation.frozen import Frozen
from mixstation.plan import batch_size
from mixstation.plan import faults as why
from mixstation.plan.buckets import MAX_BUCKET_COUNT, BucketCount, bucket_count
from mixstation.plan.faults import Plain, PlanFault, PlanRefused, refused
from mixstation.plan.job_parts import ForBags, ForMass, ForPieces, ForStock, ForVolume, JobRequest, PiecePlan
from mixstation.plan.layering import split_step, with_split, without_split
from mixstation.plan.pieces import FACE_COAT, layer_volumes, piece_faults
from mixstation.plan.stock import on_hand_mg
from mixstation.recipe.model import Recipe
from mixstation.recipe.proportions import Masses, totals_for_powder, volume_l
from mixstation.units.plausible import RANGES

_MG_PER_KG = 1_000_000


class Wanted(Frozen):
    """Volumes the pieces take, without waste."""

    pieces: tuple[PiecePlan, ...]
    face_l: float
    rest_l: float
    face_layers: Mapping[str, float]


class Sized(Frozen):
    """A job cut into buckets, before anything is rounded.

    Attributes:
        powder_dry_mg: All buckets together, dry.
        limited_by: Material that limits a batch from stock; "" else.
        never_over: Materials of which there is no more than what is planned.
    """

    powder_dry_mg: Fraction
    density_kg_m3: float
    recipes: tuple[Recipe, ...]
    exact: tuple[Masses, ...]
    face_layers: Mapping[str, float]
    loss_l: float
    count: BucketCount
    limited_by: str
    never_over: frozenset[str]


def check_settings(request: JobRequest) -> None:
    """Refuse settings that cannot be.

    Raises:
        PlanRefused: "waste-range", "negative-setting", "scale-figures", "bucket-count", "density-range", together.
    """
    shop = request.shop
    faults: list[PlanFault] = []
    if not RANGES["waste"].holds(shop.waste_fraction):
        faults.append(why.WasteRange(found_fraction=shop.waste_fraction))
    if shop.loss_per_bucket_mg < 0 or shop.tub_tare_mg < 0 or shop.bucket.tare_mg < 0:
        faults.append(Plain.NEGATIVE_SETTING)
    for scale in shop.scales:
        if not 0 < scale.division_mg <= scale.capacity_mg:
            faults.append(why.ScaleFigures(scale_name=scale.name))
    if request.bucket_count is not None and request.bucket_count < 1:
        faults.append(why.BucketCount(found_count=request.bucket_count))
    if request.density_kg_m3 is not None and not RANGES["fresh density"].holds(request.density_kg_m3):
        faults.append(why.DensityRange(found_kg_m3=request.density_kg_m3))
    if faults:
        raise PlanRefused(faults)


def volumes_wanted(request: JobRequest) -> Wanted:
    """Volumes the moulds take, without waste; none where the amount is not a volume.

    Raises:
        PlanRefused: "nothing-to-mix", "volume-range", or all faults of all pieces.
    """
    match request.amount:
        case ForPieces(pieces=pieces):
            if not pieces:
                raise refused(Plain.NOTHING_TO_MIX)
            if faults := [found for piece in pieces for found in piece_faults(piece)]:
                raise PlanRefused(faults)
        case ForVolume(volume_l=volume):
            if not 0 < volume < 1e5:
                raise refused(why.VolumeRange(found_l=volume))
            return Wanted(pieces=(), face_l=0.0, rest_l=volume, face_layers={})
        case ForMass() | ForBags() | ForStock():
            return Wanted(pieces=(), face_l=0.0, rest_l=0.0, face_layers={})
        case _ as forgotten:
            assert_never(forgotten)
    plans = []
    faces: dict[str, float] = {}
    rest_l = 0.0
    for piece in pieces:
        layers = layer_volumes(piece)
        for layer in layers[:-1]:
            faces[layer.name] = faces.get(layer.name, 0.0) + layer.volume_l * piece.count
        rest_l += layers[-1].volume_l * piece.count
        one_l = sum(layer.volume_l for layer in layers)
        plans.append(PiecePlan(piece=piece, layers=layers, volume_l=one_l, mass_mg=0, cost_cents=0))
    return Wanted(pieces=tuple(plans), face_l=sum(faces.values()), rest_l=rest_l, face_layers=faces)


def cut_into_buckets(request: JobRequest, wanted: Wanted) -> Sized:
    """Powder for the job, how many buckets, and what exactly goes into each.

    Raises:
        PlanRefused: "bucket-over-limit", "too-many-buckets", and codes of `mixstation.plan.batch_size` and
            `mixstation.plan.buckets`.
    """
    recipe, shop = request.recipe, request.shop
    density = request.density_kg_m3 or batch_size.mix_density_kg_m3(recipe)
    loss_l = shop.loss_per_bucket_mg / _MG_PER_KG / density * 1000
    limited_by, never_over = "", frozenset[str]()
    by_volume = wanted.face_l + wanted.rest_l > 0
    if by_volume:
        more = 1 + float(shop.waste_fraction)
        needed_l = (wanted.face_l + wanted.rest_l) * more
        count, number = _count(request, needed_l, loss_l)
        size = batch_size.size_for_volume(
            recipe,
            face_l=wanted.face_l * more,
            rest_l=wanted.rest_l * more + number * loss_l,
            bucket_count=number,
            density_kg_m3=request.density_kg_m3,
        )
        powder, fractions = size.powder_dry_mg, size.face_fractions
    else:
        powder, limited_by, never_over = _powder_asked(request)
        mixed_l = volume_l(recipe, totals_for_powder(recipe, powder), request.density_kg_m3)
        count, number = _count(request, mixed_l, 0.0)
        fractions = batch_size.face_fractions_of(recipe, number)
    layer = " and ".join(wanted.face_layers) or getattr(split_step(recipe), "layer", FACE_COAT)
    recipes = tuple(
        with_split(recipe, fraction, layer) if fraction else without_split(recipe) for fraction in fractions
    )
    return Sized(
        powder_dry_mg=powder,
        density_kg_m3=density,
        recipes=recipes,
        exact=tuple(totals_for_powder(each, powder / number) for each in recipes),
        face_layers=wanted.face_layers,
        loss_l=loss_l,
        count=count,
        limited_by=limited_by,
        never_over=never_over,
    )


def _powder_asked(request: JobRequest) -> tuple[Fraction, str, frozenset[str]]:
    """Powder, the material that limits it, and the materials of which there is no more."""
    recipe = request.recipe
    match request.amount:
        case ForMass(mass_mg=mass_mg):
            return batch_size.powder_for_mass(recipe, mass_mg), "", frozenset()
        case ForBags(material=key, count=bags):
            packs = {material.key: material.pack_mg for material in recipe.materials}
            if key in packs and not packs[key]:
                raise refused(why.NoPackSize(material=key))
            powder = batch_size.powder_for_material(recipe, key, bags * (packs.get(key) or 1))
            return powder, "", frozenset({key})
        case ForStock() | ForPieces() | ForVolume():
            on_hand = on_hand_mg(request.stock or ())
            powder, limit = batch_size.powder_for_stock(recipe, on_hand)
            return powder, limit, frozenset(on_hand)
        case _ as forgotten:
            assert_never(forgotten)


def _count(request: JobRequest, needed_l: float, loss_l: float) -> tuple[BucketCount, int]:
    bucket = request.shop.bucket
    count = bucket_count(needed_l, loss_l=loss_l, bucket=bucket)
    asked = request.bucket_count
    if asked is not None and asked < count.least_count:
        raise refused(
            why.BucketOverLimit(
                asked_count=asked,
                least_count=count.least_count,
                held_l=needed_l / asked + loss_l,
                limit_l=bucket.limit_l,
            )
        )
    number = asked or count.easy_count or count.least_count
    if number > MAX_BUCKET_COUNT:
        raise refused(why.TooManyBuckets(needed_l=needed_l, found_count=number, limit_count=MAX_BUCKET_COUNT))
    return count, number
