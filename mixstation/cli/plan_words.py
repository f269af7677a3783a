"""The words of `mixstation plan` that say what is planned, and the request they make."""

import argparse
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from mixstation.cli.bench_words import bare_unit, if_given, litres
from mixstation.plan.shape_table import SHAPES, SizeValue, made
from mixstation.units.plausible import read_plausible
from mixstation.wording.command_lines import CLAIM_OF, SIZES

if TYPE_CHECKING:
    from mixstation.plan.checks import YieldClaim
    from mixstation.plan.job_parts import JobAmount, JobRequest, Shop
    from mixstation.plan.pieces import Piece
    from mixstation.plan.shapes import Shape
    from mixstation.plan.temperature import Climate
    from mixstation.recipe.model import Recipe

IN_ONE_LINE = {name: form.in_one_line for name, form in SHAPES.items() if form.in_one_line}
"""Shapes whose sizes are an option of their own."""

AMOUNTS = ("pieces", *IN_ONE_LINE, "mould", "bags", "total", "volume", "all_stock")
"""Options one of which says how much is planned."""


def add_plan_words(parser: argparse.ArgumentParser) -> None:
    """Everything a plan can be told."""
    what = parser.add_argument_group("what is cast").add_mutually_exclusive_group()
    what.add_argument("--pieces", metavar="FILE", help="pieces of any shape and kind, from a file")
    for shape, sizes in IN_ONE_LINE.items():
        example = ': "700 x 450 x 18 mm"' if shape == "slab" else ""
        what.add_argument(
            f"--{shape}", metavar="SIZES", help=" x ".join(size.words for size in sizes) + example
        )
    what.add_argument("--mould", metavar="WATER", help='a mould by the water it holds: "12.4 kg at 18 °C"')
    what.add_argument("--bags", metavar="COUNT", help="what so many bags make")
    what.add_argument("--total", metavar="MASS", help="so much mix")
    what.add_argument("--volume", metavar="VOLUME", help="so much mix")
    what.add_argument("--all-stock", action="store_true", help="as much as the stock allows")
    more = parser.add_argument_group("more of it")
    more.add_argument("--name", metavar="WORDS", help="what the piece is called")
    more.add_argument("--count", type=int, default=1, metavar="COUNT", help="how many of the piece")
    more.add_argument(
        "--face", metavar="THICKNESS", help="face coat of the piece; a file of pieces says its own"
    )
    more.add_argument("--faced", metavar="AREA", help='face of a mould: "700 x 450 mm"')
    more.add_argument("--bag-of", metavar="MATERIAL", help="whose bags; else the blend's or the cement's")
    more.add_argument("--waste", metavar="PART", help='wasted, such as "8 %%"')
    more.add_argument("--loss", metavar="MASS", help="what stays in each bucket")
    more.add_argument("--buckets", type=int, metavar="COUNT", help="in so many buckets")
    more.add_argument("--density", metavar="DENSITY", help='measured, fresh: "2080 kg/m3"')
    more.add_argument(
        "--claim",
        nargs=3,
        metavar=("OF", "MASS", "VOLUME"),
        help='a printed yield: mix|powder "25 kg" "12.5 L"',
    )
    day = parser.add_argument_group("the day")
    day.add_argument("--water-at", metavar="TEMPERATURE", help="mix water as it comes; else as the shop")
    day.add_argument(
        "--material-at", nargs=2, action="append", default=[], metavar=("MATERIAL", "TEMPERATURE"),
        help="a material that is not as warm as the shop",
    )  # fmt: skip
    day.add_argument("--wanted", metavar="TEMPERATURE", help="mix temperature wanted")
    day.add_argument("--humidity", metavar="PART", help='of the air, such as "45 %%"')
    day.add_argument("--wind", metavar="SPEED", help='over the piece, such as "8 km/h"')
    sand = parser.add_argument_group("the sand")
    sand.add_argument("--sand", metavar="MATERIAL", help="which, where the recipe has several")
    damp = sand.add_mutually_exclusive_group()
    damp.add_argument("--pan", nargs=2, metavar=("WET", "DRY"), help="pan test: mass before and after drying")
    damp.add_argument("--moisture", metavar="PART", help="all water in it, of its dry mass")
    damp.add_argument("--free-moisture", metavar="PART", help="without what its pores hold")


def asks_for_something(given: argparse.Namespace) -> bool:
    """Whether the words say how much is planned."""
    return any(getattr(given, name) for name in AMOUNTS)


def request_of(given: argparse.Namespace, recipe: "Recipe", shop: "Shop", today: date) -> "JobRequest":
    """The request the words make; the stock is not looked at.

    Args:
        given: The words; units among them.
        recipe: The recipe.
        shop: The shop on file.
        today: The day.

    Raises:
        UnitsError: A quantity could not be read.
        PlanRefused: A pan test or a moisture that cannot be.
        FileRefused: What is wrong with a file of pieces.
        SystemExit: Sizes or a claim are not in the form asked for.
    """
    from mixstation.plan.job_parts import JobRequest

    mass = bare_unit(given, "kg", "lb")
    if given.waste:
        shop = replace(shop, waste_fraction=read_plausible("waste", given.waste))
    if given.loss:
        shop = replace(shop, loss_per_bucket_mg=round(read_plausible("loss", given.loss, mass)))
    if given.bucket:
        shop = replace(shop, bucket=replace(shop.bucket, volume_l=litres(given.bucket)))
    return JobRequest(
        recipe=_with_sand(given, recipe),
        amount=_amount(given, recipe, mass),
        shop=shop,
        bucket_count=given.buckets,
        density_kg_m3=if_given("fresh density", given.density, "kg/m3"),
        claim=_claim(given, mass) if given.claim else None,
        climate=_climate(given),
        today=today,
    )


def sizes_mm(words: str, names: Sequence[str], default: str) -> list[float]:
    """Sizes one after the other, "700 x 450 x 18 mm"; what has no unit of its own has that of the last.

    Args:
        words: As typed.
        names: What each is.
        default: Unit where none is named.

    Raises:
        UnitsError: One cannot be read.
        SystemExit: There are not as many as asked for.
    """
    parts = [part.strip() for part in words.lower().replace("×", "x").split("x")]
    if len(parts) != len(names):
        raise SystemExit(SIZES.format(found=words, sizes=" x ".join(names)))
    unit = parts[-1].lstrip("0123456789.,/ ") or default
    bare = frozenset("0123456789.,/ ")
    return [
        float(read_plausible("size", f"{part} {unit}" if bare.issuperset(part) else part)) for part in parts
    ]


def _amount(given: argparse.Namespace, recipe: "Recipe", mass: str) -> "JobAmount":
    from mixstation.plan.job_parts import ForBags, ForMass, ForPieces, ForStock, ForVolume

    if given.pieces:
        from mixstation.plan.piece_file import read_pieces
        from mixstation.toml.lines import read_text_file

        return ForPieces(pieces=read_pieces(read_text_file(given.pieces), given.pieces))
    if given.bags:
        return ForBags(
            material=given.bag_of or _bagged(recipe), count=read_plausible("bag count", given.bags)
        )
    if given.total:
        return ForMass(mass_mg=round(read_plausible("job mass", given.total, mass)))
    if given.volume:
        return ForVolume(volume_l=float(read_plausible("job volume", given.volume, "L")) / 1000)
    if given.all_stock:
        return ForStock()
    return ForPieces(pieces=(_piece(given),))


def _piece(given: argparse.Namespace) -> "Piece":
    from mixstation.plan.pieces import Piece, coats
    from mixstation.units.clean import clean

    unit = bare_unit(given, "mm", "in")
    shape, thickness_mm, words = _shape(given, unit)
    face_mm = if_given("face coat", given.face, unit) or 0.0
    return Piece(
        name=clean(given.name or words, 60),
        shape=shape,
        layers=coats(thickness_mm, face_mm),
        count=given.count,
    )


def _shape(given: argparse.Namespace, unit: str) -> "tuple[Shape, float | None, str]":
    """The shape, its whole thickness (None for a solid), and its words."""
    if given.mould:
        water, _, at = given.mould.partition(" at ")
        fill: dict[str, SizeValue] = {
            "water": read_plausible("mould water", water, "kg"),
            "water_temperature": read_plausible("mould water temperature", at or "20", "°C"),
        }
        if given.faced:
            length_mm, width_mm = sizes_mm(given.faced, ("length", "width"), unit)
            fill["faced"] = length_mm * width_mm
        return made(SHAPES["water fill"], fill), None, "mould"
    name = next(name for name in IN_ONE_LINE if getattr(given, name))
    words, sizes = getattr(given, name), IN_ONE_LINE[name]
    *lengths_mm, thickness_mm = sizes_mm(words, [size.words for size in sizes], unit)
    values = {size.name: length_mm for size, length_mm in zip(sizes, lengths_mm, strict=False)}
    return made(SHAPES[name], values), thickness_mm, f"{name} {words}"


def _bagged(recipe: "Recipe") -> str:
    """The blend, else the cement, else any powder that comes in bags."""
    from mixstation.recipe.model import Role

    for role in (Role.BLEND, Role.CEMENT):
        for material in recipe.materials:
            if material.role is role:
                return material.key
    return next(material.key for material in recipe.materials if material.is_powder)


def _with_sand(given: argparse.Namespace, recipe: "Recipe") -> "Recipe":
    from mixstation.plan.sand import moisture_by_pan, with_moisture
    from mixstation.recipe.model import Role

    if not (given.pan or given.moisture or given.free_moisture):
        return recipe
    sand = given.sand or next((m.key for m in recipe.materials if m.role is Role.SAND), "")
    if given.pan:
        unit = bare_unit(given, "g", "lb")
        wet_mg, dry_mg = (round(read_plausible("pan mass", text, unit)) for text in given.pan)
        return with_moisture(recipe, sand, moisture_by_pan(wet_mg, dry_mg))
    moisture = read_plausible("moisture", given.moisture or given.free_moisture)
    return with_moisture(recipe, sand, moisture, "total" if given.moisture else "free")


def _climate(given: argparse.Namespace) -> "Climate | None":
    from mixstation.plan.temperature import Climate

    degree = bare_unit(given, "°C", "°F")
    shop_c = if_given("shop temperature", given.shop, degree)
    if shop_c is None:
        return None
    return Climate(
        shop_c=shop_c,
        water_c=if_given("water temperature", given.water_at, degree),
        material_c={
            name: float(read_plausible("material temperature", at, degree)) for name, at in given.material_at
        },
        wanted_c=if_given("mix temperature", given.wanted, degree),
        humidity_fraction=if_given("humidity", given.humidity),
        wind_kmh=if_given("wind", given.wind, "km/h") or 0.0,
    )


def _claim(given: argparse.Namespace, mass: str) -> "YieldClaim":
    from mixstation.plan.checks import YieldClaim

    of, claimed_mass, volume = given.claim
    if of not in ("mix", "powder"):
        raise SystemExit(CLAIM_OF.format(found=of))
    return YieldClaim(
        mass_mg=round(read_plausible("claimed mass", claimed_mass, mass)),
        of="mix" if of == "mix" else "powder",
        claimed_l=float(read_plausible("claimed volume", volume, "L")) / 1000,
    )
