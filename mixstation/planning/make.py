"""From what was asked, at the screen or by words on the command line, to a plan."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from mixstation.plan import job_parts
from mixstation.plan.cautions import Short
from mixstation.plan.faults import Plain, refused
from mixstation.plan.job import plan_job
from mixstation.plan.sand import moisture_by_pan, with_moisture
from mixstation.plan.temperature import Climate
from mixstation.planning.around import Around, StockHeld
from mixstation.planning.ask import Given
from mixstation.planning.draft import Draft, is_of_pieces, recipe_of, shape_asks
from mixstation.recipe.file import LoadedRecipe
from mixstation.recipe.model import Recipe, Role


def make_plan(request: job_parts.JobRequest, held: StockHeld | None) -> job_parts.JobPlan:
    """Plan a job; of materials that are not kept count of the stock says nothing.

    Raises:
        PlanRefused: The job cannot be planned.
    """
    if held is None:
        return plan_job(replace(request, stock=None))
    plan = plan_job(replace(request, stock=held.lines))
    return replace(
        plan,
        stock=tuple(take for take in plan.stock if take.material in held.known),
        cautions=tuple(
            each for each in plan.cautions if not isinstance(each, Short) or each.material in held.known
        ),
    )


def request_of(draft: Draft, around: Around) -> tuple[LoadedRecipe, job_parts.JobRequest]:
    """What a planning talk asks for, with the usual where nothing was answered.

    Raises:
        PlanRefused: "no-recipe", "nothing-to-mix", or a pan test that cannot be.
    """
    loaded = recipe_of(draft, around)
    if loaded is None:
        raise refused(Plain.NO_RECIPE)
    shop, given = around.shop, draft.given
    bucket_ml, waste, shop_c = given.get("bucket"), given.get("waste"), given.get("shop", around.shop_c)
    if isinstance(bucket_ml, Fraction):
        shop = replace(shop, bucket=replace(shop.bucket, volume_l=float(bucket_ml) / 1000))
    if isinstance(waste, Fraction):
        shop = replace(shop, waste_fraction=waste)
    request = job_parts.JobRequest(
        recipe=_with_moistures(loaded.recipe, given),
        amount=_amount(draft, around),
        shop=shop,
        climate=None if shop_c is None else Climate(shop_c=float(shop_c)),
        today=around.today,
    )
    return loaded, request


def _amount(draft: Draft, around: Around) -> job_parts.JobAmount:
    given = draft.given
    if is_of_pieces(draft):
        numbers = range(1, draft.kinds_count + 1)
        pieces = (shape_asks(draft, number, around).piece() for number in numbers)
        return job_parts.ForPieces(pieces=tuple(piece for piece in pieces if piece is not None))
    match given.get("other"):
        case "mass":
            return job_parts.ForMass(mass_mg=round(_number(given.get("mass"))))
        case "volume":
            return job_parts.ForVolume(volume_l=float(_number(given.get("volume"))) / 1000)
        case "bags":
            return job_parts.ForBags(
                material=str(given.get("bag_material", "")), count=_number(given.get("bag_count", 1))
            )
        case "stock":
            return job_parts.ForStock()
        case other:
            raise ValueError(other)


def _with_moistures(recipe: Recipe, given: Mapping[str, Given]) -> Recipe:
    for sand in (material.key for material in recipe.materials if material.role is Role.SAND):
        if given.get(f"pan/{sand}"):
            wet_mg, dry_mg = (
                round(_number(given.get(f"{which}/{sand}"))) for which in ("pan_wet", "pan_dry")
            )
            recipe = with_moisture(recipe, sand, moisture_by_pan(wet_mg, dry_mg))
        elif isinstance(moisture := given.get(f"moisture/{sand}"), Fraction):
            recipe = with_moisture(recipe, sand, moisture)
    return recipe


def _number(value: Given) -> Fraction:
    return Fraction(value) if isinstance(value, Fraction | int) else Fraction(0)
