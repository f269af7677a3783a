"""Jobs to plan, drawn from fixed seeds: every shape, recipe, shop and day comes up, in ever other company."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction
from random import Random

from mixstation.plan.buckets import Bucket
from mixstation.plan.checks import YieldClaim
from mixstation.plan.cut_outs import RectangularCutOut, RoundCutOut
from mixstation.plan.dosing import Scale
from mixstation.plan.job_parts import (
    ForBags,
    ForMass,
    ForPieces,
    ForStock,
    ForVolume,
    JobAmount,
    JobRequest,
    Shop,
)
from mixstation.plan.pieces import Piece, coats
from mixstation.plan.sand import with_moisture
from mixstation.plan.shapes import CornerShape, Disc, Profile, Ring, Shape, Slab, Tray, Trough, WaterFill
from mixstation.plan.stock import StockLine
from mixstation.plan.temperature import Climate
from mixstation.plan.timing import LayerWindow
from mixstation.recipe.model import Recipe, Role
from tests.figures.plan_recipes import NAMES, recipe_named

JOB_COUNT = 36
TODAY = date(2026, 11, 30)

FLOOR = Scale(name="floor", capacity_mg=150_000_000, division_mg=20_000, checked=date(2026, 3, 1))
PLATFORM = Scale(name="platform", capacity_mg=40_000_000, division_mg=5000, checked=date(2025, 9, 1))
KITCHEN = Scale(name="kitchen", capacity_mg=10_000_000, division_mg=1000)
BENCH = Scale(name="bench", capacity_mg=3_000_000, division_mg=100, checked=date(2025, 11, 30))
POCKET = Scale(name="pocket", capacity_mg=200_000, division_mg=10, checked=date(2026, 10, 1))
SCALES: tuple[tuple[Scale, ...], ...] = (
    (PLATFORM, BENCH),
    (PLATFORM,),
    (FLOOR, KITCHEN, POCKET),
    (FLOOR,),
    (BENCH,),
    (KITCHEN, POCKET),
    (),
    (POCKET, FLOOR),
)
BUCKETS = (
    Bucket(volume_l=30.0, tare_mg=1_200_000),
    Bucket(volume_l=18.0),
    Bucket(volume_l=65.0, tare_mg=4_000_000, easy_fraction=Fraction(2, 5), limit_fraction=Fraction(3, 4)),
    Bucket(volume_l=12.0, tare_mg=700_000, easy_fraction=Fraction(1, 2), limit_fraction=Fraction(1)),
    Bucket(volume_l=20.0, tare_mg=900_000, easy_fraction=Fraction(1, 200)),
)
CLIMATES = (
    None,
    Climate(shop_c=19.0),
    Climate(shop_c=31.0, water_c=14.0, wanted_c=20.0, humidity_fraction=0.2, wind_kmh=12.0),
    Climate(shop_c=4.0, water_c=8.0, wanted_c=18.0, humidity_fraction=0.8),
    Climate(shop_c=38.0, water_c=27.0, wanted_c=17.0, material_c={"cement": 52.0, "blend": 45.0}),
    Climate(shop_c=-6.0, water_c=5.0, wanted_c=24.0, humidity_fraction=0.55, wind_kmh=25.0),
    Climate(shop_c=33.0, wanted_c=2.0, humidity_fraction=0.35, wind_kmh=3.0),
    Climate(shop_c=24.0, water_c=12.0, wanted_c=21.0, material_c={"sand": 15.0, "fibre": 30.0}),
    Climate(shop_c=44.0, water_c=30.0, humidity_fraction=0.1, wind_kmh=30.0),
)


def _size(rng: Random, least: int, most: int) -> float:
    return float(rng.randint(least, most))


def _slab(rng: Random) -> Shape:
    length, width = _size(rng, 300, 1400), _size(rng, 250, 700)
    cuts = (
        RectangularCutOut(x_mm=20, y_mm=30, length_mm=_size(rng, 40, 120), width_mm=_size(rng, 30, 90)),
        RoundCutOut(x_mm=length - 60, y_mm=width - 70, diameter_mm=_size(rng, 20, 100)),
        RoundCutOut(x_mm=length - 150, y_mm=50, diameter_mm=_size(rng, 10, 60)),
    )
    return Slab(length_mm=length, width_mm=width, cut_outs=cuts[: rng.randint(0, 3)])


def _tray(rng: Random) -> Shape:
    sides = ("front_mm", "back_mm", "left_mm", "right_mm")
    heights = {side: _size(rng, 45, 160) for side in sides if rng.random() < 0.6} or {"left_mm": 90.0}
    return Tray(length_mm=_size(rng, 400, 900), width_mm=_size(rng, 250, 600), **heights)


def _trough(rng: Random) -> Shape:
    top = _size(rng, 180, 320)
    return Trough(
        length_mm=_size(rng, 400, 1000),
        top_width_mm=top,
        floor_width_mm=top + _size(rng, -90, 60),
        height_mm=_size(rng, 120, 260),
        ends=rng.choice(("closed", "open")),
    )


def _ring(rng: Random) -> Shape:
    outer = _size(rng, 300, 800)
    return Ring(outer_diameter_mm=outer, inner_diameter_mm=outer * rng.randint(2, 7) / 10)


def _corners(rng: Random) -> Shape:
    along, across = _size(rng, 400, 900), _size(rng, 300, 600)
    notch = ((-50.0, 20.0), (along, 0.0), (along, across), (along / 2, across / 2), (0.0, across))
    return CornerShape(corners=notch if rng.random() < 0.5 else tuple(reversed(notch)))


def _profile(rng: Random) -> Shape:
    across, high = _size(rng, 120, 260), _size(rng, 35, 70)
    section = ((10.0, 5.0), (10 + across, 5.0), (10 + across, 5 + high), (10.0, 20 + high))
    return Profile(section=section, length_mm=_size(rng, 500, 1500), faced_mm=across + high)


def _water_fill(rng: Random) -> Shape:
    return WaterFill(
        water_kg=rng.randint(3000, 24_000) / 1000,
        water_c=float(rng.randint(0, 40)),
        face_mm2=_size(rng, 9, 40) * 1e4,
    )


SHAPES: Mapping[str, Callable[[Random], Shape]] = {
    "slab": _slab,
    "tray": _tray,
    "trough": _trough,
    "ring": _ring,
    "corners": _corners,
    "profile": _profile,
    "water fill": _water_fill,
    "disc": lambda rng: Disc(diameter_mm=_size(rng, 250, 900)),
}


def piece(rng: Random, name: str) -> Piece:
    """One kind of pieces, of a shape named in the table of shapes."""
    shape = SHAPES[name](rng)
    solid = isinstance(shape, Profile | WaterFill)
    face_mm = rng.choice((0.0, 0.0, 1.5, 3.0, 5.0))
    thickness_mm = None if solid else rng.choice((9.0, 12.0, 18.0, 25.0, 28.0))
    return Piece(
        name=f"{name} piece", shape=shape, layers=coats(thickness_mm, face_mm), count=rng.randint(1, 2)
    )


def stock_of(recipe: Recipe, rng: Random) -> tuple[StockLine, ...]:
    """Lots of most materials, some opened, some more used than entered; of a few, none."""
    lines = []
    for material in recipe.materials:
        for lot in range(rng.randint(0, 3) if material.role is not Role.WATER else 0):
            pack_mg = rng.choice((0, material.pack_mg or 0))
            mass_mg = rng.randint(-200_000, 9_000_000)
            lines.append(
                StockLine(
                    material=material.key, lot=rng.choice(("", f"L{lot}")), mass_mg=mass_mg, pack_mg=pack_mg
                )
            )
    return tuple(lines)


def _amount(number: int, recipe: Recipe, rng: Random) -> JobAmount:
    names = tuple(SHAPES)
    if number % 3:
        count = rng.randint(1, 3)
        kinds = (names[number % len(names)], *(rng.choice(names) for _ in range(count - 1)))
        return ForPieces(pieces=tuple(piece(rng, name) for name in kinds))
    packed = [material.key for material in recipe.materials if material.pack_mg] or ["no-such"]
    amounts: tuple[JobAmount, ...] = (
        ForVolume(volume_l=rng.randint(20, 400) / 10),
        ForMass(mass_mg=rng.randint(2_000_000, 60_000_000)),
        ForBags(material=rng.choice(packed), count=Fraction(rng.randint(1, 8), 4)),
        ForStock(),
    )
    return amounts[number // 3 % len(amounts)]


def _shop(rng: Random, number: int) -> Shop:
    return Shop(
        bucket=BUCKETS[number % len(BUCKETS)],
        scales=SCALES[number % len(SCALES)],
        tub_tare_mg=rng.choice((0, 90_000, 200_000)),
        waste_fraction=Fraction(rng.choice((0, 5, 8, 15)), 100),
        loss_per_bucket_mg=rng.choice((0, 300_000, 500_000)) or 250_000 * (number % len(BUCKETS) == 4),
        window=LayerWindow(from_min=float(rng.randint(5, 15)), to_min=float(rng.randint(20, 60))),
        place_min=rng.choice((3.0, 6.0, 11.0)),
        file=rng.choice(("", "shop.toml")),
    )


def job(number: int) -> JobRequest:
    """The request of one number."""
    rng = Random(f"job {number}")
    recipe = recipe_named(NAMES[number % len(NAMES)])
    sand = next((each.key for each in recipe.materials if each.role is Role.SAND), None)
    if sand is not None and rng.random() < 0.4:
        recipe = with_moisture(
            recipe, sand, Fraction(rng.randint(0, 60), 1000), rng.choice(("total", "free"))
        )
    amount = _amount(number, recipe, rng)
    stock = stock_of(recipe, rng) if rng.random() < 0.5 or isinstance(amount, ForStock) else None
    if isinstance(amount, ForStock):
        full = (replace(line, mass_mg=abs(line.mass_mg) + 2_000_000) for line in stock or ())
        stock = (*full, StockLine(material="cement", lot="C", mass_mg=17_000_000, pack_mg=25_000_000))
    claim = YieldClaim(
        mass_mg=rng.randint(5_000_000, 30_000_000),
        of=rng.choice(("mix", "powder")),
        claimed_l=rng.randint(30, 160) / 10,
    )
    return JobRequest(
        recipe=recipe,
        amount=amount,
        shop=_shop(rng, number),
        bucket_count=rng.choice((None, None, None, None, 4)),
        density_kg_m3=rng.choice((None, None, None, float(rng.randint(1700, 2400)))),
        claim=claim if rng.random() < 0.3 else None,
        climate=CLIMATES[number * 2 % len(CLIMATES)],
        stock=stock,
        today=rng.choice((None, TODAY)),
    )
