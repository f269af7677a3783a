"""What a seed draws before the batch: recipe, amount, scale, line, bucket, shelf, and how much goes wrong."""

import hashlib
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from random import Random
from typing import Literal

from pydantic import TypeAdapter

from mixstation.batch.events import Amount, BatchStarted, ScaleOnFile, Weighing
from mixstation.folders import shipped_folder
from mixstation.plan.vessels import VesselOnFile
from mixstation.recipe.file import LoadedRecipe, load_recipe
from mixstation.recipe.model import (
    AddStep,
    Basis,
    Cap,
    ConsistencyStep,
    Dose,
    Material,
    MixStep,
    NoteStep,
    Recipe,
    ReleaseStep,
    RestStep,
    Role,
    ScrapeStep,
    SplitStep,
    Step,
    TemperatureStep,
    WaterRule,
)
from mixstation.recipe.proportions import totals_for_powder
from mixstation.scale.emulator import Display, Make
from mixstation.scale.profile import Profile
from mixstation.scale.profile_file import load_profile
from mixstation.station.bench import Settings
from mixstation.station.order import Order, powders_for, start_fact
from mixstation.units.show import DisplayUnits
from tests.batch.recipes import material
from tests.shop.bench import TUB_MG

Mood = Literal["calm", "slips", "wild"]

PLAN = "p"
"""Name of the plan whose first bucket each shop mixes."""

SHIPPED = ("hearth_plate", "planter_wall", "bench_top")


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """One seed's shop.

    Attributes:
        mood: "calm" for a batch in which nothing goes wrong.
        order: What is to be mixed.
        start: The start of the batch.
        settings: How the mixer likes it.
        make: The scale, None for a batch without one.
        profile: How it sends.
        rate_hz: How often.
        bucket_mg: Mass of the empty bucket.
        on_disk: Whether the journal is a real one.
        releases: How often held-back water is asked for before it moves right.
    """

    mood: Mood
    order: Order
    start: BatchStarted
    settings: Settings
    make: Make | None
    profile: Profile
    rate_hz: float
    bucket_mg: int
    on_disk: bool
    releases: int


@cache
def profiles() -> tuple[Profile, ...]:
    """Profiles of scales that send by themselves."""
    found = [load_profile(path) for path in sorted(shipped_folder("scale_profiles").glob("*.toml"))]
    return tuple(profile for profile in found if profile.poll is None)


@cache
def shipped() -> tuple[LoadedRecipe, ...]:
    return tuple(load_recipe(shipped_folder("recipes") / f"{name}.toml") for name in SHIPPED)


def setup(seed: int, random: Random, mood: Mood | None = None) -> Setup:
    """Draw a shop."""
    drawn: Mood = random.choices(("calm", "slips", "wild"), (2, 5, 3))[0]
    mood = mood or drawn
    loaded = random.choice(shipped()) if random.random() < 0.4 else _random_recipe(random)
    loaded = replace(loaded, recipe=_storable(loaded.recipe))
    powder_mg = random.randint(20, 90) * 100_000 + random.randint(0, 99) * 1_000
    totals = totals_for_powder(loaded.recipe, powder_mg)
    division_mg = random.choice((1_000, 1_000, 1_000, 500, 100, 2_000, 5_000))
    with_scale = random.random() < 0.9
    make = _make(random, division_mg, mood) if with_scale else None
    weighing: Weighing = random.choices(("bucket", "tub", "supply"), (6, 2, 2))[0]
    is_short = mood != "calm"
    order = Order(
        loaded=loaded,
        powders=powders_for(loaded, powder_mg=powder_mg),
        piece=random.choice(("sill cap", "planter wall, left", "")),
        weighing=weighing,
        scale=None
        if with_scale
        else ScaleOnFile(name="bench scale", capacity_mg=15_000_000, division_mg=division_mg),
        bucket_l=random.choice((5.0, 9.0, 14.0)) if is_short else 30.0,
        needed_l=random.choice((0.0, 0.0, 2.0)) if is_short else 0.0,
        stock=_stock(random, totals) if is_short else (),
        shop_c=random.choice((None, 14.0, 21.0, 29.0)) if is_short else 20.0,
    )
    settings = Settings(
        units=random.choice((DisplayUnits.METRIC, DisplayUnits.METRIC, DisplayUnits.US)),
        division_mg=division_mg,
        hands_free_s=random.choice((0.0, 2.0, 4.0)),
        decimal_comma=random.random() < 0.3,
    )
    drawn_setup = Setup(
        mood=mood,
        order=order,
        start=start_fact(order, f"shop-{seed}-{PLAN}-1", settings),
        settings=settings,
        make=make,
        profile=random.choice(profiles()),
        rate_hz=random.choice((4.0, 6.0)),
        bucket_mg=random.randint(700, 1_900) * 1_000,
        on_disk=random.random() < 0.15,
        releases=random.choice((0, 0, 1, 2, 9)),
    )
    return _with_vessels(_in_its_unit(drawn_setup), Random(f"vessels {seed}"))


def _in_its_unit(drawn: Setup) -> Setup:
    """A line without units is set up in the unit its profile says."""
    if drawn.make is None:
        return drawn
    unit = drawn.profile.unit
    shows = sorted(drawn.make.displays, key=lambda display: bool(unit) and display.unit != unit)
    return replace(drawn, make=replace(drawn.make, displays=tuple(shows)))


def _with_vessels(drawn: Setup, random: Random) -> Setup:
    """In every third shop the bucket and the tub were weighed empty, the bucket before it had a crust."""
    if random.random() > 1 / 3:
        return drawn
    bucket = VesselOnFile(
        name="black",
        kind="bucket",
        empty_mg=drawn.bucket_mg - random.randint(0, 20) * 1_000,
        volume_l=drawn.start.bucket_l,
    )
    tub = VesselOnFile(name="", kind="tub", empty_mg=TUB_MG)
    return replace(drawn, start=replace(drawn.start, vessels=(bucket, tub)))


@cache
def _notes_read_back() -> bool:
    """Whether a stored recipe's notes are told from its scrapings when they are read."""
    adapter = TypeAdapter(Step)
    note = NoteStep(key="cover", say="Cover the mould.")
    return adapter.validate_json(adapter.dump_json(note)) == note


def _storable(recipe: Recipe) -> Recipe:
    """The recipe, without notes as long as those do not read back as notes."""
    if _notes_read_back():
        return recipe
    return replace(recipe, steps=tuple(step for step in recipe.steps if not isinstance(step, NoteStep)))


def _make(random: Random, division_mg: int, mood: Mood) -> Make:
    decimals = {100: 4, 500: 4, 1_000: 3, 2_000: 3, 5_000: 3}[division_mg]
    display = Display(unit="kg", decimals=decimals, step=division_mg // 10 ** (6 - decimals))
    pounds = Display(unit="lb", decimals=3, step=max(1, division_mg // 500))
    first = (display, pounds) if random.random() < 0.8 else (pounds, display)
    wild = mood == "wild"
    return Make(
        capacity_mg=12_000_000 if wild and random.random() < 0.2 else 40_000_000,
        displays=first,
        lag_s=random.choice((0.05, 0.15, 0.3)) if not wild else random.choice((0.05, 0.15, 0.4, 0.8)),
        noise_mg=random.choice((0.0, 0.05, 0.15)) * division_mg,
        drift_mg_s=random.choice((0.0, 0.002, -0.002)) * division_mg if wild else 0.0,
        auto_off_s=random.choice((0.0, 0.0, 240.0)) if wild else 0.0,
        tracks_zero=wild and random.random() < 0.3,
    )


def _stock(random: Random, totals: dict[str, Fraction]) -> tuple[Amount, ...]:
    """A shelf that has enough, barely enough or too little of a few materials."""
    keys = random.sample(sorted(totals), k=random.randint(0, 2))
    return tuple(
        Amount(material=key, mass_mg=round(totals[key] * Fraction(random.choice((90, 102, 130, 300)), 100)))
        for key in keys
    )


def _random_recipe(random: Random) -> LoadedRecipe:
    """A recipe as the reader of files would give it, drawn instead of read."""
    recipe = _blend(random) if random.random() < 0.3 else _raw(random)
    text = f"drawn {recipe}"
    return LoadedRecipe(recipe=recipe, text=text, hash=hashlib.sha256(text.encode()).hexdigest(), warnings=())


def per_mille(value: int) -> Fraction:
    return Fraction(value, 1000)


def _dosed(
    random: Random, key: str, name: str, role: Role, ends: tuple[int, int], of: Basis, water: int = 0
) -> Material:
    """By tolerance or by a band of its own, with a cap or without."""
    fraction = per_mille(random.randint(*ends))
    banded, capped = random.random() < 0.5, random.random() < 0.5
    return material(
        key,
        name=name,
        role=role,
        dose=Dose(
            fraction=fraction,
            of=of,
            counts="solids" if role is Role.POLYMER else "mass",
            least=fraction * Fraction(7, 10) if banded else None,
            most=fraction * Fraction(14, 10) if banded else None,
        ),
        cap=Cap(fraction=fraction * Fraction(17, 10), of=of, source="its label") if capped else None,
        water_fraction=per_mille(water),
    )


def _add(key: str, part: int = 100, behind: int = 0) -> AddStep:
    return AddStep(
        key=f"{key}-{behind + part}",
        material=key,
        share=Fraction(part, 100),
        cumulative=Fraction(behind + part, 100),
    )


def _mix(place: int) -> MixStep:
    return MixStep(key=f"mix-{place}", min_s=30, max_s=75, speed="fast")


def _blend(random: Random) -> Recipe:
    target = random.randint(130, 170)
    found = [
        material("water", name="Water", role=Role.WATER),
        material(
            "blend",
            name="Grey casting blend",
            role=Role.BLEND,
            parts=Fraction(1),
            cement_fraction=per_mille(410),
            binder_fraction=per_mille(470),
            pack_mg=20_000_000,
            price_cents=2850,
        ),
        _dosed(random, "fibre", "AR glass fibre, 12 mm", Role.FIBRE, (15, 32), Basis.TOTAL),
    ]
    steps: list[Step] = [_add("water", 80), _add("blend", 50), _mix(1), _add("blend", 50, 50), _mix(2)]
    if random.random() < 0.5:
        found.append(_dosed(random, "ochre", "Ochre pigment", Role.PIGMENT, (8, 30), Basis.POWDER))
        steps.insert(1, _add("ochre"))
    rule = WaterRule(
        of=Basis.POWDER,
        target=per_mille(target),
        least=per_mille(target - 10),
        most=per_mille(target + 9),
        ceiling=per_mille(target + 18),
    )
    return _recipe(random, "drawn blend", rule, found, steps)


def _raw(random: Random) -> Recipe:
    target = random.randint(310, 360)
    found = [
        material("water", name="Water", role=Role.WATER),
        material(
            "cement",
            name="White cement",
            role=Role.CEMENT,
            parts=Fraction(10),
            pack_mg=25_000_000,
            price_cents=1450,
        ),
        material(
            "sand",
            name="Fine quartz sand",
            role=Role.SAND,
            parts=Fraction(random.randint(5, 12)),
            moisture_fraction=per_mille(random.randint(0, 40)),
            absorption_fraction=per_mille(random.randint(0, 12)),
        ),
    ]
    powders = ["cement", "sand"]
    if random.random() < 0.4:
        found.append(
            material("pozzolan", name="Metakaolin", role=Role.POZZOLAN, parts=Fraction(random.randint(1, 3)))
        )
        powders.append("pozzolan")
    steps: list[Step] = [_add("water", 80)]
    if random.random() < 0.6:
        found.append(
            _dosed(random, "emulsion", "Acrylic emulsion", Role.POLYMER, (40, 70), Basis.CEMENT, 500)
        )
        steps.append(_add("emulsion"))
    for place in range(random.randint(0, 2)):
        name = ("Ochre pigment", "Slate pigment")[place]
        found.append(_dosed(random, f"pigment-{place}", name, Role.PIGMENT, (8, 30), Basis.CEMENT))
        steps.append(_add(f"pigment-{place}"))
    halves = random.random() < 0.5
    steps += [_add(key, 50) if halves else _add(key) for key in powders]
    steps.append(_mix(1))
    if random.random() < 0.6:
        found.append(
            _dosed(random, "plasticiser", "Plasticiser", Role.PLASTICISER, (4, 9), Basis.BINDER, 650)
        )
        steps += [_add("plasticiser"), _mix(2)]
    steps += [_add(key, 50, 50) for key in powders] if halves else []
    steps += [ScrapeStep(key="scrape-1"), _mix(3)]
    found.append(_dosed(random, "fibre", "AR glass fibre, 12 mm", Role.FIBRE, (18, 34), Basis.TOTAL))
    room = random.randint(10, 30)
    rule = WaterRule(
        of=Basis.BINDER,
        target=per_mille(target),
        least=per_mille(target - 30),
        most=per_mille(target + room),
        ceiling=per_mille(target + room + random.randint(0, 25)),
    )
    return _recipe(random, "drawn raw mix", rule, found, steps)


def _recipe(random: Random, name: str, rule: WaterRule, found: list[Material], steps: list[Step]) -> Recipe:
    """The tail every recipe has: rest, judgement, the held-back water, now and then a layer, then fibres."""
    if random.random() < 0.5:
        steps += [RestStep(key="rest", min_s=60, max_s=150), _mix(4)]
    if random.random() < 0.5:
        measured = random.random() < 0.5
        steps.append(
            ConsistencyStep(key="moves", method="spread", least=205, most=245)
            if measured
            else ConsistencyStep(key="moves", method="trowel")
        )
    released = ReleaseStep(
        key="release", material="water", increment=Fraction(random.choice((4, 5, 10)), 100), mix_s=20
    )
    steps.append(released if random.random() < 0.7 else _add("water", 20, 80))
    if random.random() < 0.4:
        steps.append(TemperatureStep(key="warmth", min_c=10.0, max_c=30.0))
    if random.random() < 0.3:
        steps.append(SplitStep(key="face", layer="face coat", fraction=Fraction(random.randint(10, 30), 100)))
    steps += [
        ScrapeStep(key="scrape-2"),
        _add("fibre"),
        _mix(5),
        NoteStep(key="cover", say="Cover the mould."),
    ]
    return Recipe(
        key="drawn",
        name=name,
        revision="1",
        water=rule,
        materials=tuple(found),
        steps=tuple(steps),
        air_fraction=per_mille(random.choice((40, 50, 60))),
        working_min=random.choice((25, 35)),
        currency="EUR",
    )
