"""A plan as plain data for other programs: text, lists and dictionaries; every quantity as text with its unit."""

from collections.abc import Callable, Iterable
from dataclasses import fields
from fractions import Fraction
from typing import Any

from mixstation.coded import ABOUT
from mixstation.plan.cautions import Caution
from mixstation.plan.curing import after_pour_of
from mixstation.plan.job_parts import JobPlan, PiecePlan
from mixstation.plan.temperature import TemperaturePlan
from mixstation.plan.timing import Timing
from mixstation.plan.weigh_out import BucketPlan
from mixstation.units.show import fixed, trimmed

FORMAT = "mixstation plan 2"
"""Named in every plan; a change that readers must know of raises the number."""

Data = dict[str, Any]


def plan_data(plan: JobPlan) -> Data:
    """A plan as nested text, whole counts, booleans and None for any JSON writer; masses in grams to the milligram.

    Source: Choice: text with its unit cannot be taken for another unit.
    """
    recipe = plan.request.recipe
    return {
        "format": FORMAT,
        "recipe": {"key": recipe.key, "name": recipe.name, "revision": recipe.revision},
        "pieces": [_piece(piece, recipe.currency) for piece in plan.pieces],
        "volume": {
            "moulds": _litres(plan.volume.mould_l),
            "waste": _litres(plan.volume.waste_l),
            "stays in buckets": _litres(plan.volume.loss_l),
            "mixed": _litres(plan.volume.mixed_l),
        },
        "density": {
            "used": _density(plan.density_kg_m3),
            "computed": _density(plan.computed_kg_m3),
            "measured": None if plan.request.density_kg_m3 is None else _density(plan.request.density_kg_m3),
        },
        "totals": _amounts(plan.totals),
        "water ratios": [
            {
                "water": ratio.water,
                "of": ratio.of.value,
                "ratio": fixed(ratio.ratio, 4),
                "steers": ratio.steers,
            }
            for ratio in plan.ratios
        ],
        "bucket counts": {"easy": plan.easy_count, "least": plan.least_count},
        "limited by": plan.limited_by or None,
        "weighing": [_weighing(plan, at) for at in range(len(plan.weighings))],
        "buckets": [_bucket(bucket) for bucket in plan.buckets],
        "per bag": [
            {
                "material": bag.material,
                "pack": _grams(bag.pack_mg),
                "amounts": _amounts(bag.amounts),
                "makes": _litres(bag.volume_l),
            }
            for bag in plan.per_bag
        ],
        "claimed yield": _claim(plan),
        "cost": {
            "total": _money(plan.cost.total_cents, recipe.currency),
            "per kg": None
            if plan.cost.per_kg_cents is None
            else _money(plan.cost.per_kg_cents, recipe.currency),
            "by material": {
                line.material: _money(round(line.cents), recipe.currency) for line in plan.cost.lines
            },
            "without a price": list(plan.cost.unpriced),
        },
        "stock": _stock(plan),
        "temperature": None if plan.temperature is None else _temperature(plan.temperature),
        "timing": None if plan.timing is None else _timing(plan.timing),
        "rescue bag": {
            "parts": {
                part.material: {"from": _grams(part.least_mg), "to": _grams(part.most_mg)}
                for part in plan.rescue.parts
            },
            "liquid pigments beside it": list(plan.rescue.apart),
        },
        "after the pour": _after(plan),
        "cautions": [_caution(caution) for caution in plan.cautions],
    }


def _grams(mass_mg: int | Fraction) -> str:
    return f"{trimmed(Fraction(mass_mg) / 1000, 3)} g"


def _litres(volume_l: float) -> str:
    return f"{trimmed(volume_l, 4)} L"


def _density(density_kg_m3: float) -> str:
    return f"{trimmed(density_kg_m3, 1)} kg/m3"


def _celsius(temperature_c: float | None) -> str | None:
    return None if temperature_c is None else f"{trimmed(temperature_c, 1)} °C"


def _minutes(minutes: float | None) -> str | None:
    return None if minutes is None else f"{trimmed(minutes, 1)} min"


def _percent(fraction: float | Fraction) -> str:
    return f"{trimmed(Fraction(fraction) * 100, 2)} %"


def _money(cents: int, currency: str) -> str:
    return f"{fixed(Fraction(cents, 100), 2)} {currency}".rstrip()


def _amounts(amounts: Iterable[tuple[str, int]]) -> Data:
    return {key: _grams(mass_mg) for key, mass_mg in amounts}


def _piece(piece: PiecePlan, currency: str) -> Data:
    return {
        "name": piece.piece.name,
        "count": piece.piece.count,
        "layers": {layer.name: _litres(layer.volume_l) for layer in piece.layers},
        "volume": _litres(piece.volume_l),
        "mass": _grams(piece.mass_mg),
        "cost": _money(piece.cost_cents, currency),
    }


def _weighing(plan: JobPlan, at: int) -> Data:
    weighing = plan.weighings[at]
    data: Data = {
        "material": weighing.material,
        "how": weighing.kind,
        "scale": weighing.scale or None,
        "vessel": weighing.vessel,
        "division": _grams(weighing.division_mg),
        "fills": weighing.fills_count,
        "smallest dose": _grams(weighing.least_mg) if weighing.least_mg else None,
        "error at 95 %": _percent(weighing.error_fraction) if weighing.error_fraction else None,
    }
    if weighing.dilution is not None:
        data["dilution"] = {
            "material": _grams(weighing.dilution.material_mg),
            "water": _grams(weighing.dilution.water_mg),
            "portion for a bucket": _grams(weighing.dilution.portion_mg),
            "water in a portion": _grams(weighing.dilution.portion_water_mg),
            "left over": _grams(weighing.dilution.over_mg),
        }
    return data


def _bucket(bucket: BucketPlan) -> Data:
    return {
        "number": bucket.number,
        "powders": _amounts(bucket.powders),
        "amounts": _amounts(bucket.amounts),
        "weigh out": [
            {
                "step": line.step,
                "material": line.material,
                "mass": _grams(line.mass_mg),
                "held back": line.held_back,
                "diluted": line.diluted,
            }
            for line in bucket.weigh_outs
        ],
        "take out": [{"layer": take.layer, "mass": _grams(take.mass_mg)} for take in bucket.take_outs],
        "mass": _grams(bucket.mass_mg),
        "volume": _litres(bucket.volume_l),
        "moulds need": _litres(bucket.needed_l),
    }


def _claim(plan: JobPlan) -> Data | None:
    if plan.claim is None:
        return None
    return {
        "computed": _litres(plan.claim.computed_l),
        "implied density": _density(plan.claim.implied_kg_m3),
        "deviation": _percent(plan.claim.deviation_fraction),
        "contradicted": plan.claim.contradicted,
    }


def _stock(plan: JobPlan) -> list[Data] | None:
    if plan.request.stock is None:
        return None
    return [
        {
            "material": take.material,
            "needs": _grams(take.need_mg),
            "takes": [
                {"lot": draw.lot, "mass": _grams(draw.mass_mg), "packs opened": draw.opened_count}
                for draw in take.draws
            ],
            "left": _grams(take.left_mg),
            "short": _grams(take.short_mg),
            "packs to buy": take.buy_count,
        }
        for take in plan.stock
    ]


def _temperature(found: TemperaturePlan) -> Data:
    ice = found.ice_for_wanted_fraction
    return {
        "mix": _celsius(found.mix_c),
        "reached": _celsius(found.reached_c),
        "water for the wanted mix": _celsius(found.water_for_wanted_c),
        "or part of the water as ice": None if ice is None else _percent(ice),
        "working time": {"least": _minutes(found.working_min[0]), "most": _minutes(found.working_min[1])},
        "drying": None
        if found.drying is None
        else {"rate": f"{trimmed(found.drying.rate_kg_m2_h, 2)} kg/m2/h", "risk": found.drying.risk},
    }


def _after(plan: JobPlan) -> Data | None:
    """Hours from the end of placing; None where it is too cold to cure."""
    climate = plan.request.climate
    content = {key: Fraction(mass_mg) for key, mass_mg in plan.totals}
    found = after_pour_of(plan.request.recipe, content, None if climate is None else climate.shop_c)
    if found is None:
        return None
    return {
        "strip from": _hours(found.strip_h),
        "sand from": _hours(found.sand_h),
        "moist until": _hours(found.moist_h),
        "seal from": _hours(found.seal_h),
        "better sealed from": _hours(found.good_seal_h),
    }


def _hours(hours: float | None) -> str | None:
    return None if hours is None else f"{trimmed(hours, 1)} h"


def _timing(timing: Timing) -> Data:
    return {
        "face coat placed": _minutes(timing.face_placed_min),
        "backing from": _minutes(timing.backing_from_min),
        "backing to": _minutes(timing.backing_to_min),
        "buckets": [
            {
                "number": time.number,
                "first water": _minutes(time.start_min),
                "mixed": _minutes(time.ready_min),
                "placing begins": _minutes(time.begin_min),
                "placed": _minutes(time.placed_min),
                "may stiffen": _minutes(time.stiff_min),
            }
            for time in timing.buckets
        ],
    }


def _caution(caution: Caution) -> Data:
    return {
        "code": caution.code,
        "about": caution.about or None,
        "values": {
            field.name: _with_unit(field.name, getattr(caution, field.name))
            for field in fields(caution)
            if field.name not in ABOUT
        },
        "source": caution.source,
    }


_UNITS: tuple[tuple[str, Callable[[Fraction], str | None]], ...] = (
    ("_mg", _grams),
    ("_l", lambda value: _litres(float(value))),
    ("_mm", lambda value: f"{trimmed(value, 2)} mm"),
    ("_kg_m3", lambda value: _density(float(value))),
    ("_kg_m2_h", lambda value: f"{trimmed(value, 2)} kg/m2/h"),
    ("_c", lambda value: _celsius(float(value))),
    ("_min", lambda value: _minutes(float(value))),
    ("_fraction", _percent),
)


def _with_unit(name: str, value: str | int | float | Fraction | None) -> str | int | None:
    if value is None or isinstance(value, str):
        return value
    for ending, show in _UNITS:
        if name.endswith(ending):
            return show(Fraction(value))
    return value if isinstance(value, int) else trimmed(value, 4)
