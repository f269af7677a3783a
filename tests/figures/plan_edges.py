"""Jobs at the edges of what can be planned, jobs that must be refused, and a few that show every part of a plan."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction
from math import inf
from typing import Any

from mixstation.plan.buckets import Bucket
from mixstation.plan.checks import YieldClaim
from mixstation.plan.dosing import Scale
from mixstation.plan.job_parts import ForBags, ForMass, ForPieces, ForStock, ForVolume, JobRequest, Shop
from mixstation.plan.pieces import Layer, Piece, coats
from mixstation.plan.shapes import Profile, Shape, Slab, Tray, WaterFill
from mixstation.plan.stock import StockLine
from mixstation.plan.temperature import Climate
from mixstation.recipe.model import Basis, Dose, Material, Recipe, Role, SplitStep
from tests.figures.plan_jobs import BENCH, FLOOR, KITCHEN, PLATFORM, POCKET, TODAY
from tests.figures.plan_recipes import recipe_named
from tests.plan.recipes import add

BUCKET = Bucket(volume_l=30.0, tare_mg=1_200_000)
SHOP = Shop(bucket=BUCKET, scales=(PLATFORM, BENCH), tub_tare_mg=150_000)
PLATE = Piece(name="plate", shape=Slab(length_mm=600, width_mm=400), layers=coats(18, 3), count=2)
CAP = Piece(
    name="cap",
    shape=Profile(section=((0, 0), (180, 0), (180, 40), (0, 60)), length_mm=950, faced_mm=280),
    layers=coats(None, 4),
)
LOTS = (
    StockLine(material="cement", lot="7", mass_mg=9_000_000, pack_mg=25_000_000),
    StockLine(material="cement", lot="", mass_mg=30_000_000, pack_mg=25_000_000),
    StockLine(material="sand", lot="S", mass_mg=4_000_000),
    StockLine(material="ochre", lot="O", mass_mg=0, pack_mg=1_000_000),
    StockLine(material="emulsion", lot="E", mass_mg=20_000_000, pack_mg=10_000_000),
)


def _ask(recipe: str | Recipe = "raw split", **more: Any) -> JobRequest:
    asked = recipe_named(recipe) if isinstance(recipe, str) else recipe
    return JobRequest(**{"recipe": asked, "amount": ForPieces(pieces=(PLATE,)), "shop": SHOP, **more})


def _shop(**more: Any) -> Shop:
    return replace(SHOP, **more)


def _of(shape: Shape, *layers: Layer, name: str = "odd", count: int = 1) -> JobRequest:
    return _ask(
        amount=ForPieces(pieces=(Piece(name=name, shape=shape, layers=layers or coats(18), count=count),))
    )


def _with(recipe: str, key: str, **more: Any) -> Recipe:
    """A recipe with one material changed."""
    found = recipe_named(recipe)
    changed: tuple[Material, ...] = tuple(
        replace(each, **more) if each.key == key else each for each in found.materials
    )
    return replace(found, materials=changed)


def _without_powders() -> Recipe:
    found = recipe_named("raw")
    return replace(found, materials=tuple(each for each in found.materials if not each.is_powder), steps=())


def _dry_water() -> Recipe:
    found = recipe_named("raw")
    return replace(found, water=replace(found.water, target=Fraction(1, 100)))


def _split_last(fraction: Fraction) -> Recipe:
    """No fibre, split at the end."""
    found = recipe_named("raw")
    kept = tuple(each for each in found.materials if each.role is not Role.FIBRE)
    steps = tuple(step for step in found.steps if getattr(step, "material", "") != "fibre")
    split = SplitStep(key="off", layer="skin", fraction=fraction)
    return replace(found, materials=kept, steps=(*steps, split))


def _no_step_for_fibre() -> Recipe:
    found = recipe_named("raw")
    steps = tuple(step for step in found.steps if getattr(step, "material", "") != "fibre")
    return replace(found, steps=(*steps, add("fibre", "1/2", "1/2")))


_DAY = Climate(shop_c=31.0, water_c=14.0, wanted_c=20.0, humidity_fraction=0.2, wind_kmh=12.0)
_SLAB = Slab(length_mm=500, width_mm=300)
_COARSE = Scale(name="only", capacity_mg=30_000_000, division_mg=2000)

EDGES: Mapping[str, Callable[[], JobRequest]] = {
    "plain": _ask,
    # Every part of a plan, as other programs read it.
    "data of all": lambda: _ask(
        amount=ForPieces(pieces=(replace(PLATE, count=3), CAP)),
        shop=Shop(bucket=Bucket(volume_l=18.0), scales=(_COARSE,), tub_tare_mg=200_000),
        claim=YieldClaim(mass_mg=10_000_000, of="mix", claimed_l=2.0),
        density_kg_m3=1900.0,
        stock=LOTS,
        climate=_DAY,
        today=TODAY,
    ),
    "data of little": lambda: _ask("raw", amount=ForBags(material="cement", count=Fraction(1, 5))),
    "data of colour": lambda: _ask("colour", amount=ForMass(mass_mg=14_000_000), climate=Climate(shop_c=9.0)),
    "data by stock": lambda: _ask(
        "raw",
        amount=ForStock(),
        stock=tuple(replace(each, mass_mg=each.mass_mg + 4_000_000) for each in LOTS),
    ),
    "data without a scale": lambda: _ask("stated", shop=_shop(scales=(), file="shop.toml"), stock=LOTS[:1]),
    # Settings that cannot be, and the last that can.
    "waste -1 %": lambda: _ask(shop=_shop(waste_fraction=Fraction(-1, 100))),
    "waste 101 %": lambda: _ask(shop=_shop(waste_fraction=Fraction(101, 100))),
    "waste 100 %": lambda: _ask(shop=_shop(waste_fraction=Fraction(1))),
    "negative loss": lambda: _ask(shop=_shop(loss_per_bucket_mg=-1)),
    "negative tub": lambda: _ask(shop=_shop(tub_tare_mg=-1)),
    "negative tare": lambda: _ask(shop=_shop(bucket=replace(BUCKET, tare_mg=-1))),
    "division of nothing": lambda: _ask(shop=_shop(scales=(replace(BENCH, division_mg=0),))),
    "division over capacity": lambda: _ask(
        shop=_shop(scales=(replace(BENCH, division_mg=3_000_001), PLATFORM))
    ),
    "division is capacity": lambda: _ask(
        shop=_shop(scales=(Scale(name="odd", capacity_mg=9_000, division_mg=9_000), PLATFORM))
    ),
    "no bucket": lambda: _ask(bucket_count=0),
    "density too low": lambda: _ask(density_kg_m3=399.0),
    "all settings": lambda: _ask(
        shop=_shop(waste_fraction=Fraction(2), tub_tare_mg=-5, scales=(replace(POCKET, division_mg=-1),)),
        bucket_count=-2,
        density_kg_m3=9e9,
    ),
    "division of a milligram": lambda: _ask(
        shop=_shop(scales=(Scale(name="fine", capacity_mg=9_000, division_mg=1), PLATFORM))
    ),
    "tare of a milligram": lambda: _ask(
        shop=_shop(tub_tare_mg=1, loss_per_bucket_mg=1, bucket=replace(BUCKET, tare_mg=1))
    ),
    # Amounts.
    "half a litre": lambda: _ask(
        amount=ForVolume(volume_l=0.5),
        climate=Climate(shop_c=15.0, wanted_c=21.0),
        shop=_shop(loss_per_bucket_mg=0),
    ),
    "thin and small": lambda: _ask(
        amount=ForPieces(
            pieces=(Piece(name="tile", shape=Slab(length_mm=90, width_mm=60), layers=coats(9, 0.5), count=5),)
        ),
        shop=_shop(loss_per_bucket_mg=0, scales=(BENCH, POCKET), waste_fraction=Fraction(0)),
    ),
    "a little from stock": lambda: _ask(
        amount=ForStock(), stock=tuple(replace(each, mass_mg=90_001) for each in LOTS)
    ),
    "no pieces": lambda: _ask(amount=ForPieces(pieces=())),
    "no volume": lambda: _ask(amount=ForVolume(volume_l=0.0)),
    "endless volume": lambda: _ask(amount=ForVolume(volume_l=1e5)),
    "no mass": lambda: _ask(amount=ForMass(mass_mg=0)),
    "unknown bag": lambda: _ask(amount=ForBags(material="chalk")),
    "bag of no size": lambda: _ask("stated", amount=ForBags(material="chalk")),
    "nothing on hand": lambda: _ask(amount=ForStock(), stock=LOTS),
    "less ink than a division": lambda: _ask(
        "colour",
        amount=ForStock(),
        stock=(StockLine(material="ink", lot="", mass_mg=18_000),),
        shop=_shop(scales=(FLOOR,), loss_per_bucket_mg=0),
    ),
    "stock unknown": lambda: _ask(amount=ForStock(), stock=()),
    "stock not kept": lambda: _ask(amount=ForStock()),
    "bag of odd mass": lambda: _ask(
        _with("raw", "cement", pack_mg=12_345_678), amount=ForBags(material="cement", count=Fraction(1, 2))
    ),
    "bag of ice": lambda: _ask(
        _with("stated", "ice", dose=None, pack_mg=2_000_000), amount=ForBags(material="ice")
    ),
    "ice to replace water": lambda: _ask(_with("stated", "ice", dose=None), amount=ForVolume(volume_l=6.0)),
    # Buckets.
    "bucket without volume": lambda: _ask(shop=_shop(bucket=replace(BUCKET, volume_l=0.0))),
    "endless bucket": lambda: _ask(shop=_shop(bucket=replace(BUCKET, volume_l=inf))),
    "easy over limit": lambda: _ask(shop=_shop(bucket=replace(BUCKET, easy_fraction=Fraction(3, 4)))),
    "easy of nothing": lambda: _ask(shop=_shop(bucket=replace(BUCKET, easy_fraction=Fraction(0)))),
    "limit over all": lambda: _ask(shop=_shop(bucket=replace(BUCKET, limit_fraction=Fraction(11, 10)))),
    "loss fills it": lambda: _ask(
        shop=_shop(bucket=replace(BUCKET, volume_l=1.0), loss_per_bucket_mg=2_000_000)
    ),
    "one bucket too few": lambda: _ask(amount=ForVolume(volume_l=45.0), bucket_count=2),
    "hundred buckets": lambda: _ask("raw", amount=ForVolume(volume_l=1990.0), bucket_count=101),
    "too many buckets": lambda: _ask("raw", amount=ForVolume(volume_l=2500.0)),
    # Recipes that cannot be scaled.
    "no powder": lambda: _ask(_without_powders(), amount=ForVolume(volume_l=5.0)),
    "parts of nothing": lambda: _ask(
        _with("blend", "blend", parts=Fraction(0)), amount=ForMass(mass_mg=5_000_000)
    ),
    "water all carried": lambda: _ask(_dry_water(), amount=ForMass(mass_mg=5_000_000)),
    "basis empty": lambda: _ask(
        _with("blend", "fibre", dose=Dose(fraction=Fraction(1, 50), of=Basis.CEMENT)),
        amount=ForVolume(volume_l=5.0),
    ),
    "all fibre": lambda: _ask(
        _with("blend", "fibre", dose=Dose(fraction=Fraction(1), of=Basis.TOTAL)),
        amount=ForVolume(volume_l=5.0),
    ),
    # Claims and densities.
    "claim of no mass": lambda: _ask(claim=YieldClaim(mass_mg=0, of="mix", claimed_l=2.0)),
    "claim of no volume": lambda: _ask(claim=YieldClaim(mass_mg=9, of="mix", claimed_l=0.0)),
    "claim of powder": lambda: _ask(claim=YieldClaim(mass_mg=20_000_000, of="powder", claimed_l=12.5)),
    "claim too low": lambda: _ask(claim=YieldClaim(mass_mg=20_000_000, of="mix", claimed_l=6.0)),
    "denser than air-free": lambda: _ask(density_kg_m3=2400.0),
    "odd densities": lambda: _ask(_with("raw", "sand", density_kg_m3=3300.0), density_kg_m3=1950.0),
    # Layers.
    "own split left out": lambda: _ask(amount=ForPieces(pieces=(replace(PLATE, layers=coats(18)),))),
    "split added last": lambda: _ask(_split_last(Fraction(1, 3)), amount=ForPieces(pieces=(PLATE, CAP))),
    "split by volume": lambda: _ask(_split_last(Fraction(1, 3)), amount=ForVolume(volume_l=7.0)),
    "two layers in front": lambda: _ask(
        "colour",
        amount=ForPieces(
            pieces=(
                replace(PLATE, layers=(Layer(name="mist", thickness_mm=2), *coats(18, 3))),
                replace(CAP, layers=coats(None)),
            )
        ),
    ),
    "nearly all face": lambda: _ask(
        "raw", amount=ForPieces(pieces=(replace(PLATE, layers=coats(20, 17.5), count=9),)), bucket_count=4
    ),
    "all face": lambda: _ask(
        "raw",
        amount=ForPieces(pieces=(replace(PLATE, layers=coats(20, 19.9999)),)),
        shop=_shop(loss_per_bucket_mg=0),
        bucket_count=1,
    ),
    "fibre left to no step": lambda: _ask(_no_step_for_fibre(), amount=ForVolume(volume_l=6.0)),
    # Days.
    "shop too hot": lambda: _ask(climate=Climate(shop_c=120.0)),
    "water frozen": lambda: _ask(climate=Climate(shop_c=10.0, water_c=-1.0, wanted_c=20.0)),
    "wanted too cold": lambda: _ask(
        climate=Climate(shop_c=48.0, water_c=40.0, wanted_c=0.5, humidity_fraction=0.35)
    ),
    "wanted too hot": lambda: _ask(climate=Climate(shop_c=10.0, wanted_c=61.0)),
    "too humid": lambda: _ask(climate=Climate(shop_c=10.0, humidity_fraction=1.01)),
    "as warm as wanted": lambda: _ask(climate=Climate(shop_c=20.0, wanted_c=20.0, humidity_fraction=0.5)),
    "scalding water": lambda: _ask(
        climate=Climate(shop_c=9.0, water_c=65.0, humidity_fraction=0.9, wind_kmh=40.0)
    ),
    "cooler than scalding": lambda: _ask(
        climate=Climate(shop_c=20.0, water_c=65.0, wanted_c=26.0), amount=ForVolume(volume_l=6.0)
    ),
    "two films": lambda: _ask(
        replace(
            recipe_named("stated"),
            materials=(
                *recipe_named("stated").materials,
                replace(recipe_named("stated").material("resin"), key="gum", film_forming_c=12.0),
            ),
        ),
        amount=ForVolume(volume_l=6.0),
        climate=Climate(shop_c=8.0),
    ),
    "film just forms": lambda: _ask(climate=Climate(shop_c=10.0, water_c=10.0)),
    "film just not": lambda: _ask(climate=Climate(shop_c=9.99, water_c=9.99)),
    "ice and a wish": lambda: _ask(
        "stated", amount=ForVolume(volume_l=8.0), climate=Climate(shop_c=28.0, water_c=16.0, wanted_c=17.0)
    ),
    "ice and hotter": lambda: _ask(
        "stated", amount=ForVolume(volume_l=8.0), climate=Climate(shop_c=12.0, water_c=16.0, wanted_c=24.0)
    ),
    # Scales.
    "dilution": lambda: _ask("raw", amount=ForVolume(volume_l=5.0), shop=_shop(scales=(PLATFORM,))),
    "dilution shared": lambda: _ask(
        "colour", amount=ForVolume(volume_l=30.0), shop=_shop(scales=(KITCHEN, FLOOR), tub_tare_mg=90_000)
    ),
    "by difference": lambda: _ask("blend", amount=ForMass(mass_mg=2_000_000), shop=_shop(scales=(FLOOR,))),
    "tub by tub": lambda: _ask("raw", amount=ForVolume(volume_l=9.0), shop=_shop(scales=(POCKET, BENCH))),
    "tub too heavy": lambda: _ask(shop=_shop(scales=(POCKET,), tub_tare_mg=200_000)),
    "checks a year old": lambda: _ask(
        shop=_shop(
            scales=(
                replace(PLATFORM, checked=date(2025, 11, 30)),
                replace(BENCH, checked=date(2025, 11, 29)),
                KITCHEN,
            )
        ),
        today=TODAY,
    ),
    # Pieces that cannot be.
    "no layers": lambda: _ask(amount=ForPieces(pieces=(replace(PLATE, layers=()),))),
    "no thickness": lambda: _of(_SLAB, Layer(name="one coat", thickness_mm=None)),
    "thickness nought": lambda: _of(_SLAB, Layer(name="one coat", thickness_mm=0.0)),
    "thickness endless": lambda: _of(_SLAB, Layer(name="one coat", thickness_mm=inf)),
    "solid with thickness": lambda: _of(CAP.shape, Layer(name="one coat", thickness_mm=20.0)),
    "faced unknown": lambda: _of(WaterFill(water_kg=5.0, water_c=20.0), *coats(None, 3)),
    "face over piece": lambda: _of(WaterFill(water_kg=5.0, water_c=20.0, face_mm2=2e6), *coats(None, 3)),
    "none of it": lambda: _of(_SLAB, count=0),
    "thousand and one": lambda: _of(_SLAB, count=1001),
    "no returns": lambda: _of(Tray(length_mm=400, width_mm=300)),
    "all faults of all": lambda: _ask(
        amount=ForPieces(
            pieces=(
                replace(PLATE, shape=Slab(length_mm=0.0, width_mm=20_001.0)),
                Piece(name="cap", shape=replace(CAP.shape, length_mm=-1.0), layers=coats(None), count=0),
            )
        )
    ),
}
