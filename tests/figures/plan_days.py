"""The day, the order of the work, stock, sand, scales' checks and curing, each at its limits."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta, timezone
from fractions import Fraction
from itertools import product
from random import Random
from typing import Any

from mixstation.plan.curing import curing
from mixstation.plan.dosing import Scale, scale_cautions
from mixstation.plan.sand import moisture_by_pan, with_moisture
from mixstation.plan.stock import StockLine, on_hand_mg, stock_cautions, take
from mixstation.plan.temperature import Climate, plan_temperature
from mixstation.plan.temperature_log import TemperatureLog, read_log, since
from mixstation.plan.timing import LayerWindow, plan_timing, timing_cautions
from mixstation.proportion.drying import drying
from mixstation.recipe.proportions import totals_for_powder
from tests.figures.compared import digest
from tests.figures.plan_figures import shown, told
from tests.figures.plan_recipes import recipe_named

Part = Callable[[], Any]
KG = 1_000_000


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
    for wanted_c in (None, 21.0):
        climate = Climate(shop_c=16.0, wanted_c=wanted_c)
        dry_masses = {**totals_for_powder(recipe_named("raw"), 9 * KG), "water": 0}
        found.append(told(lambda m=dry_masses, c=climate: plan_temperature(recipe_named("raw"), m, c)))
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
    "hours;°C\n2,500;20,250\n3,250;21,500\n",
    "hours;°C\n2,500;20\n2,500;21\n",
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


DAY_PARTS: Mapping[str, Part] = {
    "sand": _sand,
    "stock": _stock,
    "times": _times,
    "days": _days,
    "checks of scales": _checks,
    "cured": _cured,
    "logs": _logs,
}
