"""Plan a job: from pieces, bags or a mass to what is weighed into each bucket, on which scale, at what cost."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction

from mixstation.plan import checks
from mixstation.plan.apart import doses_of
from mixstation.plan.batch_size import mix_density_kg_m3, scaled
from mixstation.plan.cautions import Caution, FaceFromSeveralBuckets, SplitAdded, SplitLeftOut
from mixstation.plan.cost import Cost, cost_of
from mixstation.plan.dosing import DoseWeighing, choose_weighing, scale_cautions, smallest_dose_mg
from mixstation.plan.job_parts import ForPieces, JobPlan, JobRequest, PerBag, PiecePlan, VolumeNeed
from mixstation.plan.job_size import Sized, Wanted, check_settings, cut_into_buckets, volumes_wanted
from mixstation.plan.layering import split_step, without_split
from mixstation.plan.pieces import piece_cautions
from mixstation.plan.rescue import rescue_bag
from mixstation.plan.stock import stock_cautions, take_all
from mixstation.plan.temperature import TemperaturePlan, plan_temperature
from mixstation.plan.timing import Timing, plan_timing, timing_cautions
from mixstation.plan.water_ratios import water_ratios
from mixstation.plan.weigh_out import BucketPlan, amounts_by_bucket, take_outs, weigh_outs
from mixstation.recipe.model import Recipe, Role
from mixstation.recipe.proportions import Masses, scale_to_material, volume_l

_MG_PER_KG = 1_000_000


def plan_job(request: JobRequest) -> JobPlan:
    """Plan a job.

    Raises:
        PlanRefused: The job cannot be planned; all faults of the pieces together.
    """
    check_settings(request)
    wanted = volumes_wanted(request)
    sized = cut_into_buckets(request, wanted)
    weighings = _weighings(request, sized)
    buckets = _buckets(request, sized, weighings)
    totals: dict[str, int] = {}
    for bucket in buckets:
        for key, mass_mg in bucket.amounts:
            totals[key] = totals.get(key, 0) + mass_mg
    cost = cost_of(request.recipe, totals)
    temperature = _temperature(request, totals)
    mould_l = _usable_l(request, sized, buckets)
    plan = JobPlan(
        request=request,
        pieces=_pieces(wanted, sized, cost),
        volume=VolumeNeed(
            mould_l=mould_l,
            waste_l=mould_l * float(request.shop.waste_fraction),
            loss_l=sized.loss_l * len(buckets),
            mixed_l=sum(bucket.volume_l for bucket in buckets),
        ),
        density_kg_m3=sized.density_kg_m3,
        computed_kg_m3=mix_density_kg_m3(request.recipe),
        totals=tuple(totals.items()),
        ratios=water_ratios(request.recipe, scaled(request.recipe)),
        weighings=tuple(weighings.values()),
        buckets=buckets,
        easy_count=sized.count.easy_count,
        least_count=sized.count.least_count,
        limited_by=sized.limited_by,
        per_bag=_per_bag(request, weighings),
        claim=None if request.claim is None else checks.check_claim(request.recipe, request.claim),
        cost=cost,
        stock=() if request.stock is None else take_all(request.recipe, totals, request.stock),
        temperature=temperature,
        timing=_timing(request, sized, temperature),
        rescue=rescue_bag(
            request.recipe,
            dict(buckets[-1].amounts),
            {key: weighing.division_mg for key, weighing in weighings.items()},
        ),
        cautions=(),
    )
    return replace(plan, cautions=_cautions(plan, sized, weighings))


def _cautions(plan: JobPlan, sized: Sized, weighings: Mapping[str, DoseWeighing]) -> tuple[Caution, ...]:
    request, shop = plan.request, plan.request.shop
    held = [(bucket.number, bucket.volume_l, bucket.mass_mg) for bucket in plan.buckets]
    pieces_mg = {piece.piece.name: piece.mass_mg for piece in plan.pieces}
    return (
        *(() if plan.temperature is None else plan.temperature.cautions),
        *checks.claim_cautions(plan.claim),
        *checks.density_cautions(request.recipe, plan.computed_kg_m3, request.density_kg_m3),
        *(found for piece in plan.pieces for found in piece_cautions(piece.piece)),
        *_layer_cautions(request, sized),
        *checks.dose_cautions(doses_of(sized.recipes[0], sized.exact), weighings, shop.file),
        *scale_cautions(shop.scales, request.today),
        *checks.load_cautions(shop.bucket, held, pieces_mg),
        *(() if plan.timing is None else timing_cautions(plan.timing)),
        *stock_cautions(request.recipe, plan.stock),
    )


def _weighings(request: JobRequest, sized: Sized) -> dict[str, DoseWeighing]:
    full_mg = max(sum(masses.values(), Fraction(0)) for masses in sized.exact)
    # Most of the water goes in first, so all dilutions together draw on half of it at most.
    spare_water_mg = round(min(masses[request.recipe.water_key] for masses in sized.exact) / 2)
    weighings: dict[str, DoseWeighing] = {}
    for dose in doses_of(sized.recipes[0], sized.exact):
        chosen = choose_weighing(
            dose,
            request.shop.scales,
            bucket_tare_mg=request.shop.bucket.tare_mg,
            bucket_full_mg=round(full_mg),
            tub_tare_mg=request.shop.tub_tare_mg,
            bucket_count=len(sized.exact),
            bucket_water_mg=spare_water_mg,
        )
        if chosen.dilution is not None:
            spare_water_mg -= chosen.dilution.portion_water_mg
        weighings[dose.material] = chosen
    return weighings


def _buckets(
    request: JobRequest, sized: Sized, weighings: Mapping[str, DoseWeighing]
) -> tuple[BucketPlan, ...]:
    rounded = amounts_by_bucket(sized.recipes, sized.exact, weighings, never_over=sized.never_over)
    buckets = []
    for number, (recipe, amounts) in enumerate(zip(sized.recipes, rounded, strict=True), start=1):
        held_l = volume_l(recipe, amounts, request.density_kg_m3)
        needed_l = max(0.0, held_l - sized.loss_l) / (1 + float(request.shop.waste_fraction))
        buckets.append(
            BucketPlan(
                number=number,
                recipe=recipe,
                powders=tuple(
                    (material.key, amounts[material.key])
                    for material in recipe.materials
                    if material.is_powder
                ),
                amounts=tuple(amounts.items()),
                weigh_outs=weigh_outs(recipe, amounts, weighings),
                take_outs=take_outs(recipe, sized.powder_dry_mg / len(rounded), sized.face_layers),
                mass_mg=sum(amounts.values()),
                volume_l=held_l,
                needed_l=needed_l,
            )
        )
    return tuple(buckets)


def _usable_l(request: JobRequest, sized: Sized, buckets: tuple[BucketPlan, ...]) -> float:
    usable_l = max(0.0, sum(bucket.volume_l for bucket in buckets) - sized.loss_l * len(buckets))
    return usable_l / (1 + float(request.shop.waste_fraction))


def _pieces(wanted: Wanted, sized: Sized, cost: Cost) -> tuple[PiecePlan, ...]:
    all_l = wanted.face_l + wanted.rest_l
    return tuple(
        PiecePlan(
            piece=plan.piece,
            layers=plan.layers,
            volume_l=plan.volume_l,
            mass_mg=round(plan.volume_l / 1000 * sized.density_kg_m3 * _MG_PER_KG),
            cost_cents=cost.share_cents(Fraction(plan.volume_l / all_l)),
        )
        for plan in wanted.pieces
    )


def _per_bag(request: JobRequest, weighings: Mapping[str, DoseWeighing]) -> tuple[PerBag, ...]:
    recipe = without_split(request.recipe)
    roles = {material.role for material in recipe.materials}
    bagged = Role.BLEND if Role.BLEND in roles else Role.CEMENT
    bags = []
    for material in recipe.materials:
        if material.role is not bagged or not material.pack_mg:
            continue
        exact = scale_to_material(recipe, material.key, material.pack_mg)
        steps_mg = _bag_steps_mg(recipe, exact, request, weighings)
        amounts = {
            key: material.pack_mg if key == material.key else round(exact[key] / step_mg) * step_mg
            for key, step_mg in steps_mg.items()
        }
        bags.append(
            PerBag(
                material=material.key,
                pack_mg=material.pack_mg,
                amounts=tuple(amounts.items()),
                steps_mg=tuple(steps_mg.items()),
                volume_l=volume_l(recipe, exact, request.density_kg_m3),
            )
        )
    return tuple(bags)


def _bag_steps_mg(
    recipe: Recipe, exact: Masses, request: JobRequest, weighings: Mapping[str, DoseWeighing]
) -> dict[str, int]:
    """To which step each material of a bag's batch is told: the large scale's, or a bucket's where it is too coarse."""
    large = max(request.shop.scales, key=lambda scale: scale.capacity_mg, default=None)
    return {
        dose.material: weighings[dose.material].division_mg
        if large is None
        or dose.mass_mg
        < smallest_dose_mg(
            large.division_mg, tolerance=dose.tolerance_fraction, weighings_count=len(dose.shares)
        )
        else large.division_mg
        for dose in doses_of(recipe, [exact])
    }


def _temperature(request: JobRequest, totals: Mapping[str, int]) -> TemperaturePlan | None:
    if request.climate is None:
        return None
    return plan_temperature(request.recipe, totals, request.climate)


def _timing(request: JobRequest, sized: Sized, temperature: TemperaturePlan | None) -> Timing | None:
    face_buckets = sum(split_step(recipe) is not None for recipe in sized.recipes)
    if len(sized.recipes) == 1 and not face_buckets:
        return None
    working_min = float(request.recipe.working_min) if temperature is None else temperature.working_min[0]
    return plan_timing(
        sized.recipes[0],
        face_buckets=face_buckets,
        bucket_count=len(sized.recipes),
        working_min=working_min,
        window=request.shop.window,
        place_min=request.shop.place_min,
    )


def _layer_cautions(
    request: JobRequest, sized: Sized
) -> Iterator[SplitAdded | SplitLeftOut | FaceFromSeveralBuckets]:
    own = split_step(request.recipe)
    face_buckets = sum(split_step(recipe) is not None for recipe in sized.recipes)
    if isinstance(request.amount, ForPieces):
        if face_buckets and own is None:
            yield SplitAdded(layer=" and ".join(sized.face_layers))
        if not face_buckets and own is not None:
            yield SplitLeftOut(layer=own.layer)
        if face_buckets > 1:
            yield FaceFromSeveralBuckets(bucket_count=face_buckets)
