"""What a plan asks on the way, each at its limit, just inside and just outside; curing and sand besides."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta, timezone
from fractions import Fraction
from itertools import product
from random import Random
from typing import Any

from mixstation.plan.apart import doses_of, weighed_beside
from mixstation.plan.batch_size import (
    powder_for_mass,
    powder_for_material,
    powder_for_stock,
    size_for_volume,
    volume_for_powders_l,
)
from mixstation.plan.buckets import Bucket, bucket_count, check_it_fits, in_divisions
from mixstation.plan.checks import YieldClaim, check_claim, claim_cautions, density_cautions, load_cautions
from mixstation.plan.cost import cost_of
from mixstation.plan.curing import curing
from mixstation.plan.diluted import neat_share, with_dilution
from mixstation.plan.dosing import (
    DoseToWeigh,
    Scale,
    choose_weighing,
    dilutable,
    scale_cautions,
    shares_of,
    smallest_dose_mg,
    tolerance_fraction,
)
from mixstation.plan.job_parts import Shop
from mixstation.plan.layering import totals_at_split, with_split, without_split
from mixstation.plan.rescue import rescue_bag
from mixstation.plan.sand import moisture_by_pan, with_moisture
from mixstation.plan.stock import StockLine, on_hand_mg, stock_cautions, take
from mixstation.plan.temperature import Climate, plan_temperature
from mixstation.plan.temperature_log import TemperatureLog, read_log, since
from mixstation.plan.timing import LayerWindow, mixing_min, plan_timing, timing_cautions
from mixstation.plan.water_ratios import water_ratios
from mixstation.plan.weigh_out import take_outs
from mixstation.proportion.drying import drying
from mixstation.proportion.lifting import LIFT_LIMIT_MG
from mixstation.recipe.model import Tolerance
from mixstation.recipe.proportions import totals_for_powder, whole_totals
from tests.figures.compared import digest
from tests.figures.plan_figures import shown, splits, told
from tests.figures.plan_jobs import BENCH, FLOOR, KITCHEN, PLATFORM, POCKET
from tests.figures.plan_recipes import NAMES, recipe_named

Part = Callable[[], Any]
KG = 1_000_000


def _buckets() -> list[Any]:
    found: list[Any] = []
    for volume_l, loss_l, needed_l in product(
        (12.0, 30.0), (0.0, 0.25, 4.0, 8.0), (0.1, 3.75, 8.0, 10.0, 20.0, 60.0)
    ):
        bucket = Bucket(volume_l=volume_l)
        counted = told(
            lambda bucket=bucket, needed_l=needed_l, loss_l=loss_l: bucket_count(
                needed_l, loss_l=loss_l, bucket=bucket
            )
        )
        found.append([volume_l, loss_l, needed_l, counted])
    for fractions in (
        (0, 1),
        (1, 1),
        (2, 1),
        (Fraction(1, 2), Fraction(1, 2)),
        (Fraction(1, 2), Fraction(3, 2)),
    ):
        bucket = Bucket(
            volume_l=10.0, easy_fraction=Fraction(fractions[0]), limit_fraction=Fraction(fractions[1])
        )
        found.append(told(lambda bucket=bucket: bucket_count(9.0, loss_l=0.5, bucket=bucket)))
    for mixed_l in (9.9, 10.0, 10.1, 44.0):
        found.append(told(lambda mixed_l=mixed_l: check_it_fits(mixed_l, Bucket(volume_l=10.0))))
    return found


def _divisions() -> list[Any]:
    rng = Random("divisions")
    rows: list[Any] = [in_divisions([Fraction(1500)] * 5, 1000, down=down) for down in (False, True)]
    for division_mg in (1, 10, 1000, 2000, 5000):
        shares = [Fraction(rng.randint(0, 9_999_999), rng.randint(1, 7)) for _ in range(5)]
        rows += [in_divisions(shares, division_mg, down=down) for down in (False, True)]
    return [list(row) for row in rows]


def _loads() -> list[Any]:
    bucket = Bucket(volume_l=30.0, tare_mg=KG)
    held = [
        (n, 10.0 + by_l, LIFT_LIMIT_MG - KG + by_mg)
        for n, (by_l, by_mg) in enumerate(product((0.0, 1e-9, 0.1), (-1, 0, 1)))
    ]
    pieces = {str(by_mg): LIFT_LIMIT_MG + by_mg for by_mg in (-1, 0, 1)}
    return [shown(each) for each in load_cautions(bucket, held, pieces)]


def _claims() -> list[Any]:
    found: list[Any] = []
    for name in ("raw", "blend", "colour"):
        recipe = recipe_named(name)
        for of, share in product(("mix", "powder"), (0.9, 0.949, 0.951, 1.0, 1.049, 1.051, 1.2)):
            exact_l = check_claim(recipe, YieldClaim(mass_mg=20 * KG, of=of, claimed_l=1.0)).computed_l
            claim = check_claim(recipe, YieldClaim(mass_mg=20 * KG, of=of, claimed_l=exact_l * share))
            found.append([of, share, shown(claim), [shown(each) for each in claim_cautions(claim)]])
        for share in (0.949, 0.951, 1.0, 1.02, 1.049, 1.051, 1.06, 1.08):
            found.append([shown(each) for each in density_cautions(recipe, 2000.0, 2000.0 * share)])
    return [
        digest(found),
        found[::9],
        claim_cautions(None),
        density_cautions(recipe_named("raw"), 2000.0, None),
    ]


def _dose(mass_mg: int | Fraction = 30_000, *, parts: int = 1, dilutes: bool = True) -> DoseToWeigh:
    shares = (Fraction(1, parts),) * parts
    return DoseToWeigh(
        material="dose",
        mass_mg=Fraction(mass_mg),
        shares=shares,
        tolerance_fraction=Fraction(3, 100),
        may_be_diluted=dilutes,
    )


def _weighed(dose: DoseToWeigh, *scales: Scale, **more: int) -> Any:
    asked = {"bucket_tare_mg": KG, "bucket_full_mg": 20 * KG, "tub_tare_mg": 50_000, "bucket_count": 3}
    return shown(choose_weighing(dose, scales, **{**asked, "bucket_water_mg": 2 * KG, **more}))


def _weighings() -> list[Any]:
    """Doses at the smallest that each scale takes, loads at its capacity, and dilutions at each of their limits."""
    found: list[Any] = []
    for scale, parts in product((FLOOR, PLATFORM, KITCHEN, BENCH), (1, 2, 3)):
        least_mg = smallest_dose_mg(scale.division_mg, tolerance=Fraction(3, 100), weighings_count=parts)
        found += [
            _weighed(_dose(least_mg + by_mg, parts=parts, dilutes=False), scale) for by_mg in (-1, 0, 1)
        ]
    for full_mg in (39 * KG - 1, 39 * KG, 39 * KG + 1):
        found += [_weighed(_dose(9 * KG), PLATFORM, bucket_full_mg=full_mg)]
        found += [_weighed(_dose(9 * KG), PLATFORM, BENCH, KITCHEN, bucket_full_mg=full_mg)]
    for room_mg, mass_mg in product((-1, 0, 1, 70_000), (150_000, 150_001, 300_000, 700_000)):
        found += [_weighed(_dose(mass_mg, dilutes=False), POCKET, tub_tare_mg=200_000 - room_mg)]
    found += [
        _weighed(_dose(mass_mg), PLATFORM) for mass_mg in (2_000, 2_722, 2_723, 30_000, 68_000, 136_000)
    ]
    found += [
        _weighed(_dose(30_000), PLATFORM, bucket_water_mg=water_mg)
        for water_mg in (119_999, 120_000, 120_001)
    ]
    found += [_weighed(_dose(30_000, parts=2), KITCHEN, PLATFORM, bucket_count=n) for n in (1, 2, 9)]
    for capacity_mg in range(990_000, 1_130_000, 10_000):
        found += [_weighed(_dose(30_000), replace(PLATFORM, capacity_mg=capacity_mg))]
    found += [
        _weighed(_dose(), BENCH, POCKET, KITCHEN),
        _weighed(_dose()),
        _weighed(_dose(5), FLOOR, KITCHEN),
    ]
    return found


def _doses() -> list[Any]:
    """How each material of each recipe is dosed: its shares, whether it may be diluted, what is weighed beside."""
    found: list[Any] = []
    for name in NAMES:
        recipe = recipe_named(name)
        masses = totals_for_powder(recipe, 6 * KG)
        powders = {key: round(mass) for key, mass in masses.items() if recipe.material(key).is_powder}
        shop = Shop(
            bucket=Bucket(volume_l=30.0, tare_mg=KG), scales=(PLATFORM, KITCHEN, BENCH), tub_tare_mg=90_000
        )
        part = {
            "doses": shown(doses_of(recipe, [masses, totals_for_powder(recipe, 5 * KG)])),
            "shares": [shown(shares_of(recipe, each.key)) for each in recipe.materials],
            "dilutes": [dilutable(recipe, each.key) for each in recipe.materials],
            "tolerance": [shown(tolerance_fraction(each.tolerance)) for each in recipe.materials],
            "beside": shown(weighed_beside(recipe, powders, PLATFORM, shop)),
            "beside kitchen": shown(weighed_beside(recipe, powders, KITCHEN, shop)),
            "fills_l": shown(volume_for_powders_l(recipe, powders)),
        }
        found.append([name, part["beside"], part["fills_l"], digest(part, 12)])
    bare = replace(recipe_named("raw"), steps=())
    found.append([[dilutable(bare, each.key), shown(shares_of(bare, each.key))] for each in bare.materials])
    one = {key: Fraction(1) for key in whole_totals(bare, 1)}
    found.append([each.material for each in doses_of(bare, [one, {**one, "sand": Fraction(0)}])])
    odd = ((0, 0), (0, 3), (3, 0), (1, 4), (4, 1))
    found += [
        shown(tolerance_fraction(Tolerance(under=Fraction(a, 100), over=Fraction(b, 100)))) for a, b in odd
    ]
    return found


def _powders() -> list[Any]:
    found: list[Any] = []
    for name in NAMES:
        recipe = recipe_named(name)
        held = {each.key: (5 + n) * KG for n, each in enumerate(recipe.materials) if each.key != "water"}
        found.append(
            [
                name,
                told(lambda recipe=recipe: powder_for_mass(recipe, 11 * KG)),
                told(lambda recipe=recipe: powder_for_material(recipe, "fibre", 3 * KG)),
                told(lambda recipe=recipe, held=held: list(powder_for_stock(recipe, held))),
                told(lambda recipe=recipe: size_for_volume(recipe, face_l=4.0, rest_l=9.0, bucket_count=2)),
                told(
                    lambda recipe=recipe: size_for_volume(
                        recipe, face_l=17.0, rest_l=2.0, bucket_count=5, density_kg_m3=2050.0
                    )
                ),
                shown(mixing_min(recipe)),
                shown(mixing_min(recipe, until_split=True)),
                [[each.water, each.of.value, shown(each.ratio), each.steers] for each in _ratios(name)],
            ]
        )
    raw, stated = recipe_named("raw"), recipe_named("stated")
    iceless = replace(
        stated,
        materials=tuple(replace(each, dose=None) if each.key == "ice" else each for each in stated.materials),
    )
    for amount in (-1, 0, 1, Fraction(1, 2)):
        found.append(told(lambda amount=amount: powder_for_mass(raw, amount)))
        found.append(told(lambda amount=amount: powder_for_material(raw, "ochre", amount)))
        found.append(told(lambda amount=amount: list(powder_for_stock(raw, {"ochre": amount, "sand": 5}))))
    found.append(told(lambda: powder_for_material(iceless, "ice", 5)))
    found.append(told(lambda: powder_for_mass(replace(raw, materials=raw.materials[:1], steps=()), 5)))
    for face_l, rest_l in ((0.4, 0.0), (0.0, 0.4), (0.3, 0.6)):
        found.append(
            told(lambda f=face_l, r=rest_l: size_for_volume(raw, face_l=f, rest_l=r, bucket_count=1))
        )
    found.append(told(lambda: size_for_volume(recipe_named("raw"), face_l=0.0, rest_l=0.0, bucket_count=1)))
    # Of a bucket nine tenths may be face coat.
    for face_l in (8.4, 8.6, 8.8, 8.9, 9.0, 9.1, 9.3):
        found.append(
            told(
                lambda f=face_l: size_for_volume(recipe_named("raw"), face_l=f, rest_l=20 - f, bucket_count=2)
            )
        )
    return found


def _ratios(name: str) -> Any:
    recipe = recipe_named(name)
    return water_ratios(recipe, whole_totals(recipe, 9 * KG))


def _layers() -> list[Any]:
    found: list[Any] = []
    for name in NAMES[:8]:
        recipe = recipe_named(name)
        split = with_split(recipe, Fraction(1, 4), "skin")
        bare = without_split(recipe)
        found.append(
            [
                name,
                [step.key for step in split.steps],
                splits(split),
                [len(bare.steps), splits(bare)],
                shown(totals_at_split(split, 8 * KG)),
                shown(totals_at_split(bare, 8 * KG)),
                shown(take_outs(split, Fraction(7 * KG), {"mist": 0.4, "face": 1.1, "edge": 0.05})),
                shown(take_outs(split, Fraction(7 * KG), {})),
                shown(take_outs(bare, Fraction(7 * KG), {"face": 1.0})),
            ]
        )
    return found


def _diluted() -> list[Any]:
    found: list[Any] = []
    for name, key, ratio in (
        ("raw", "plasticiser", 4),
        ("raw", "emulsion", 2),
        ("raw", "ochre", 9),
        ("colour", "retarder", 12),
        ("colour", "ink", 3),
        ("colour", "water", 3),
        ("planter_wall", "plasticiser", 50),
        ("stated", "chalk", 2),
        ("stated", "ice", 2),
    ):
        recipe = recipe_named(name)
        mixed = with_dilution(recipe, key, ratio, "thin")
        shares = [shown(neat_share(each, recipe.material(each.key))) for each in mixed.materials]
        found.append(
            [
                name,
                shown(mixed.material(key)),
                shares,
                told(lambda mixed=mixed: totals_for_powder(mixed, 4 * KG)),
            ]
        )
    return found


def _sand() -> list[Any]:
    raw, colour = recipe_named("raw"), recipe_named("colour")
    tries = [(raw, "sand"), (colour, "fine"), (raw, "cement")]
    amounts = [Fraction(n, 1000) for n in (-1, 0, 13, 279, 280, 281, 290, 291, 300, 301)]
    found = [
        told(
            lambda r=recipe, k=key, a=amount, kind=kind: [
                with_moisture(r, k, a, kind).material(k).moisture_fraction
            ]
        )
        for (recipe, key), amount, kind in product(tries, amounts, ("total", "free"))
    ]
    pans = [(515_000, 500_000), (500_000, 500_000), (499_999, 500_000), (5, 0), (1, 1), (9, -1)]
    return [*found, *(told(lambda wet=wet, dry=dry: moisture_by_pan(wet, dry)) for wet, dry in pans)]


def _stock() -> list[Any]:
    rng = Random("stock")
    found: list[Any] = []
    recipe = recipe_named("raw")
    for number in range(14):
        lines = tuple(
            StockLine(
                material=rng.choice(("cement", "cement", "sand")),
                lot=rng.choice(("", "A", "B")),
                mass_mg=rng.choice((-5, 0, 60, 75, 100, 130, 200)) * KG // 10,
                pack_mg=rng.choice((0, 25, 50)) * KG // 10,
            )
            for _ in range(4)
        )
        need_mg, pack_mg = (
            rng.choice((0, 3, 10, 25, 26, 50)) * KG + number % 2,
            rng.choice((None, 0, 25 * KG)),
        )
        taken = take("cement", need_mg, lines, pack_mg=pack_mg)
        each = [shown(taken), on_hand_mg(lines), [[line.full_count, line.open_mg] for line in lines]]
        found.append([number, *each, [shown(one) for one in stock_cautions(recipe, [taken])]])
    return found


def _times() -> list[Any]:
    found: list[Any] = []
    for name in ("raw split", "colour", "blend", "planter_wall", "stated"):
        recipe = recipe_named(name)
        for face_buckets, buckets in ((0, 1), (0, 3), (1, 1), (1, 3), (2, 3), (3, 3)):
            for window, place_min in ((LayerWindow(), 6.0), (LayerWindow(from_min=2.0, to_min=12.5), 1.5)):
                timing = plan_timing(
                    recipe,
                    face_buckets=face_buckets,
                    bucket_count=buckets,
                    working_min=22.0,
                    window=window,
                    place_min=place_min,
                )
                found.append([shown(timing), [shown(each) for each in timing_cautions(timing)]])
    # Placed as the last minute ends, and begun as the window closes.
    timing = plan_timing(
        recipe_named("raw split"), face_buckets=1, bucket_count=2, working_min=30.0, window=LayerWindow()
    )
    last = timing.buckets[-1]
    for by_min in (-0.01, 0.0, 0.01):
        late = replace(
            timing,
            backing_to_min=last.begin_min + by_min,
            buckets=(replace(last, stiff_min=last.placed_min + by_min),),
        )
        found.append([shown(each) for each in timing_cautions(late)])
    return [digest(found), found[::7], found[-3:]]


def _days() -> list[Any]:
    found: list[Any] = []
    for name, shop_c, water_c, wanted_c in product(
        ("raw", "stated", "colour"),
        (2.0, 9.0, 24.0, 39.0),
        (None, 3.0, 37.0, 39.0),
        (None, 5.0, 15.0, 20.0, 30.0),
    ):
        recipe = recipe_named(name)
        climate = Climate(
            shop_c=shop_c,
            water_c=water_c,
            wanted_c=wanted_c,
            humidity_fraction=0.45,
            wind_kmh=9.0,
            material_c={"cement": 40.0},
        )
        masses = totals_for_powder(recipe, 9 * KG)
        found.append(told(lambda r=recipe, m=masses, c=climate: plan_temperature(r, m, c)))
    dry = [
        [
            humidity,
            wind_kmh,
            shown(drying(surface_c=surface_c, air_c=24.0, humidity_fraction=humidity, wind_kmh=wind_kmh)),
        ]
        for surface_c, humidity, wind_kmh in product((10.0, 22.0, 35.0), (0.1, 0.5, 1.0), (0.0, 8.0, 30.0))
    ]
    # Cold, hot and small batches, and water hotter than the mix wants.
    for water_c, wanted_c, powder_mg in product(
        (40.0, 59.0, 60.0, 64.0), (16.0, 22.0, 24.0), (200_000, 9 * KG)
    ):
        masses = totals_for_powder(recipe_named("raw"), powder_mg)
        climate = Climate(
            shop_c=16.0, water_c=water_c, wanted_c=wanted_c, humidity_fraction=0.5, wind_kmh=0.5
        )
        found.append(told(lambda m=masses, c=climate: plan_temperature(recipe_named("raw"), m, c)))
    # Working time that is just too short, and long enough.
    short = replace(recipe_named("raw"), working_min=18.75)
    wanted = Climate(shop_c=23.0, wanted_c=20.0)
    found.append(told(lambda: plan_temperature(short, totals_for_powder(short, 9 * KG), wanted)))
    working = []
    for minutes in (18, 19, 20, 23, 24, 25, 26):
        quick = replace(recipe_named("raw"), working_min=minutes)
        planned = plan_temperature(quick, totals_for_powder(quick, 9 * KG), Climate(shop_c=23.0))
        working.append([shown(planned.working_min), [each.code for each in planned.cautions]])
    return [digest(found), found[::19], found[-1], digest(dry), dry[::4], working]


def _rescues() -> list[Any]:
    found: list[Any] = []
    for name in NAMES:
        recipe = recipe_named(name)
        masses = {key: round(mass) for key, mass in totals_for_powder(recipe, 5 * KG).items()}
        for division_mg in (10, 1000, 5000, 50_000):
            found.append(shown(rescue_bag(recipe, masses, dict.fromkeys(masses, division_mg))))
        found.append(shown(cost_of(recipe, masses)))
    found.append(
        shown(
            cost_of(
                recipe_named("raw"), dict.fromkeys((each.key for each in recipe_named("raw").materials), 1)
            )
        )
    )
    empty = cost_of(recipe_named("raw"), {})
    shares = [cost_of(recipe_named("raw"), {"cement": KG}).share_cents(Fraction(n, 8)) for n in range(9)]
    return [digest(found), found[::11], shown(empty), shares]


def _checks() -> list[Any]:
    ages = [
        Scale(name=str(days), capacity_mg=KG, division_mg=10, checked=date(2026, 1, 1) - timedelta(days))
        for days in (0, 365, 366, 900)
    ]
    never = Scale(name="never", capacity_mg=KG, division_mg=10)
    return [shown(scale_cautions([*ages, never], today)) for today in (date(2026, 1, 1), None)]


HISTORIES: tuple[tuple[tuple[float, float], ...], ...] = (
    ((0.0, 20.0), (24.0, 20.0)),
    ((0.0, 20.0), (23.9, 20.0)),
    ((0.0, 30.0), (6.0, 33.0), (15.0, 21.0), (30.0, 19.0), (48.0, 22.0)),
    ((0.0, 8.0), (12.0, 4.0), (36.0, 11.0), (70.0, 14.0)),
    ((2.0, 10.0), (9.0, 9.99), (40.0, 10.0)),
    ((0.0, 12.0), (20.0, -4.0), (30.0, -10.0)),
    ((0.0, -2.0), (10.0, 0.0), (20.0, 0.0)),
    ((0.0, 55.0), (10.0, 60.0), (26.0, 35.0)),
    ((0.0, 20.0), (0.0, 20.0)),
    ((3.0, 20.0), (1.0, 20.0)),
    ((-1.0, 20.0), (1.0, 20.0)),
    ((0.0, 81.0), (1.0, 20.0)),
)

LOGS = (
    "time,°C\n2026-11-30 14:05,20\n\n2026-11-30 15:35:30,22.5\n2026-12-01 03:00,19\n",
    "Hours;Temperature (°F)\n2;77\n2,5;68,0\n9;70\n",
    "h\tshop [c]\n0\t-10\n1\t80\n",
    "h\tshop [c]\n0\t-10.1\n1\t80.1\n",
    "date and time;temp_f\n2026-03-29 00:30+01:00;50\n2026-03-29 03:30+02:00;50\n",
    "hours,°C\n0,20\n8784,20\n8784.5,20\n",
    "hours,°C\n0,20\n1\n2,20,3\nx,4\n3,warm\n2,5\n2,6\n1,6\n",
    "time,°C\n2026-11-30 10:00,20\n2026-11-30 11:00Z,20\n",
    "time,°C\n2026-11-30 10:00,20\n",
    "time,°C\n2026-11-30,20,3\nsoon,20\n10:00,20\n2026-11-30 10:00,hot\n",
    "hours,°C\n0,20\n0.5,21\n",
    "when,°C\n",
    "",
    "hours,°C\n" + "x,20\n" * 25,
)


def _cured() -> list[Any]:
    return [told(lambda history=history: curing(history)) for history in HISTORIES]


def _logs() -> list[Any]:
    closed = datetime(2026, 11, 30, 14, 35, tzinfo=timezone(timedelta(hours=2)))
    times = (
        closed,
        closed - timedelta(minutes=30),
        closed + timedelta(hours=1),
        closed + timedelta(hours=12),
    )

    def later(text: str, at: datetime) -> TemperatureLog:
        return since(read_log(text, "log.csv"), at, "log.csv")

    zoned = "time,°C\n2026-11-30 12:35Z,20\n2026-11-30 15:00Z,24\n2026-11-30 19:00Z,21\n"
    found = [told(lambda text=text: read_log(text, "log.csv")) for text in LOGS]
    found += [
        told(lambda text=text, at=at: later(text, at)) for text in (LOGS[0], LOGS[1], zoned) for at in times
    ]
    return found


LIMIT_PARTS: Mapping[str, Part] = {
    "counts of buckets": _buckets,
    "divisions": _divisions,
    "loads": _loads,
    "claims and densities": _claims,
    "ways of weighing": _weighings,
    "doses": _doses,
    "powder for": _powders,
    "layers": _layers,
    "dilutions": _diluted,
    "sand": _sand,
    "stock": _stock,
    "times": _times,
    "days": _days,
    "rescue bags and costs": _rescues,
    "checks of scales": _checks,
    "cured": _cured,
    "logs": _logs,
}
