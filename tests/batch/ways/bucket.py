"""A batch put together and worked by hand in tests: two recipes of a small yard, and what happens at the bucket."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from mixstation.batch.dosing import dosing
from mixstation.batch.events import (
    BatchStarted,
    Entry,
    Fact,
    MaterialRemoved,
    PortionTaken,
    SafetyAcknowledged,
    Stamp,
    StepDone,
    StepSkipped,
    WeightRecorded,
)
from mixstation.batch.run import Run, TakeOutStep, apply, fold
from mixstation.batch.targets import aim_of, project, split_share
from mixstation.batch.way import Way
from mixstation.batch.ways import Limits, ways_out
from mixstation.recipe.model import (
    AddStep,
    Basis,
    Cap,
    Dose,
    MixStep,
    Recipe,
    ReleaseStep,
    Role,
    ScrapeStep,
    SplitStep,
    Step,
    WaterRule,
)
from tests.batch.recipes import material as material

STAMP = Stamp(utc_ms=0, offset_min=0, boot_ms=0, mono_ms=0, boot_id="b", who="Ida")


def per_mille(value: int | str) -> Fraction:
    return Fraction(value) / 1000


def add(name: str, share: int = 100, cumulative: int = 100) -> AddStep:
    return AddStep(
        key=f"{name}-{cumulative}",
        material=name,
        share=Fraction(share, 100),
        cumulative=Fraction(cumulative, 100),
    )


def mix(key: str) -> MixStep:
    return MixStep(key=key, min_s=60, max_s=120, speed="fast")


def water_rule(of: Basis, target: int, least: int, most: int) -> WaterRule:
    return WaterRule(
        of=of,
        target=per_mille(target),
        least=per_mille(least),
        most=per_mille(most),
        ceiling=per_mille(most + 20),
    )


BLEND = Recipe(
    key="sill",
    name="Sill cap from blend",
    revision="1",
    water=water_rule(Basis.POWDER, 150, 140, 158),
    materials=(
        material("water", Role.WATER),
        material(
            "blend",
            Role.BLEND,
            parts=Fraction(1),
            cement_fraction=per_mille(420),
            binder_fraction=per_mille(480),
            pack_mg=20_000_000,
            price_cents=3900,
        ),
        material("fibre", Role.FIBRE, dose=Dose(fraction=per_mille(24), of=Basis.TOTAL)),
    ),
    steps=(
        add("water", 80, 80),
        add("blend", 50, 50),
        mix("mix-1"),
        add("blend", 50, 100),
        mix("mix-2"),
        ScrapeStep(key="scrape"),
        ReleaseStep(key="release", material="water", increment=Fraction(1, 20), mix_s=30),
        add("fibre"),
        mix("mix-3"),
    ),
    air_fraction=Fraction(1, 20),
    working_min=35,
    currency="EUR",
)

RAW = Recipe(
    key="plate",
    name="Hearth plate",
    revision="3",
    water=water_rule(Basis.BINDER, 330, 300, 360),
    materials=(
        material("water", Role.WATER),
        material("cement", Role.CEMENT, parts=Fraction(10), pack_mg=25_000_000, price_cents=1450),
        material("pozzolan", Role.POZZOLAN, parts=Fraction(1), pack_mg=10_000_000, price_cents=2100),
        material(
            "sand",
            Role.SAND,
            parts=Fraction(10),
            moisture_fraction=per_mille(20),
            absorption_fraction=per_mille(8),
            pack_mg=25_000_000,
            price_cents=700,
        ),
        material(
            "polymer",
            Role.POLYMER,
            dose=Dose(fraction=per_mille(55), of=Basis.CEMENT, counts="solids"),
            water_fraction=per_mille(500),
        ),
        material(
            "plasticiser",
            Role.PLASTICISER,
            dose=Dose(fraction=per_mille(6), of=Basis.BINDER, least=per_mille(3), most=per_mille(10)),
            cap=Cap(fraction=per_mille(12), of=Basis.BINDER, source="the label"),
            water_fraction=per_mille(650),
        ),
        material(
            "pigment",
            Role.PIGMENT,
            dose=Dose(fraction=per_mille(30), of=Basis.CEMENT),
            cap=Cap(fraction=per_mille(60), of=Basis.CEMENT, source="the maker's sheet"),
        ),
        material("fibre", Role.FIBRE, dose=Dose(fraction=per_mille(28), of=Basis.TOTAL)),
    ),
    steps=(
        add("water", 80, 80),
        add("polymer"),
        add("pigment"),
        add("cement", 50, 50),
        add("pozzolan"),
        add("sand", 50, 50),
        mix("mix-1"),
        add("plasticiser"),
        mix("mix-2"),
        add("cement", 50, 100),
        add("sand", 50, 100),
        mix("mix-3"),
        ScrapeStep(key="scrape"),
        ReleaseStep(key="release", material="water", increment=Fraction(1, 20), mix_s=30),
        add("fibre"),
        mix("mix-4"),
    ),
    air_fraction=per_mille(50),
    working_min=35,
    currency="EUR",
)

BLEND_KG = {"blend": 14}
RAW_KG = {"cement": 6, "pozzolan": Fraction(6, 10), "sand": Fraction(612, 100)}


def begin(
    recipe: Recipe,
    powders_kg: Mapping[str, int | Fraction],
    *,
    bucket_l: float = 30.0,
    needed_l: float = 0.0,
) -> Run:
    """A batch just begun."""
    powders_mg = {key: round(mass * 1_000_000) for key, mass in powders_kg.items()}
    start = BatchStarted(
        batch_id="b1",
        piece="sill cap",
        recipe_text="",
        recipe_hash="",
        recipe=recipe,
        aim=aim_of(recipe, powders_mg),
        weighing="bucket",
        scale=None,
        bucket_l=bucket_l,
        fill_limit=0.667,
        bucket_number=1,
        bucket_count=1,
        needed_l=needed_l,
        stock=(),
        lots=(),
        shop_c=20.0,
        program="0",
    )
    return told(fold([Entry(seq=1, stamp=STAMP, fact=start)]), SafetyAcknowledged())


def told(run: Run, *facts: Fact) -> Run:
    """The run after more facts."""
    for fact in facts:
        run = apply(run, Entry(seq=len(run.entries) + 1, stamp=STAMP, fact=fact))
    return run


def weighed(run: Run, key: str, mass_mg: int, step: str | None, division_mg: int = 1000) -> Run:
    """Some of a material goes in."""
    fact = WeightRecorded(
        step=step,
        material=key,
        mass_mg=mass_mg,
        source="scale",
        shown="",
        division_mg=division_mg,
    )
    return told(run, fact)


def removed(run: Run, key: str, mass_mg: int, step: str | None = None) -> Run:
    """Some of one material comes out."""
    fact = MaterialRemoved(
        step=step,
        material=key,
        mass_mg=mass_mg,
        source="scale",
        shown="",
        division_mg=1000,
        reason="out",
    )
    return told(run, fact)


def scooped(run: Run, mass_mg: int, step: str | None = None, layer: str = "") -> Run:
    """A portion of the mix comes out."""
    fact = PortionTaken(step=step, layer=layer, mass_mg=mass_mg, source="scale", shown="", division_mg=1000)
    return told(run, fact)


def skipped(run: Run, reason: str = "left out") -> Run:
    assert run.step is not None
    return told(run, StepSkipped(step=run.step.key, reason=reason))


def work(
    run: Run,
    divisions_mg: Mapping[str, int],
    *,
    until: str = "",
    factors: Mapping[str, Fraction] | None = None,
) -> Run:
    """Do as told, step by step, to the end or up to (not with) a step.

    Args:
        run: The batch.
        divisions_mg: Of the scale that weighs each material.
        until: Key of the step to stop at.
        factors: How far off the target a step's pour is, by step key.

    Returns:
        The batch as worked.
    """
    off = factors or {}
    for _ in range(400):
        step = run.step
        if step is None or step.key == until:
            return run
        if isinstance(step, AddStep | ReleaseStep):
            run = _weigh(run, step, divisions_mg, off.get(step.key, Fraction(1)))
        elif isinstance(step, TakeOutStep):
            take = removed if step.material else scooped
            run = (
                removed(run, step.material, step.mass_mg, step.key)
                if take is removed
                else scooped(run, step.mass_mg, step.key)
            )
            run = told(run, StepDone(step=step.key))
        elif isinstance(step, SplitStep):
            run = scooped(
                run, round(run.in_bucket_mg * split_share(run, step, run.in_bucket_mg)), step.key, step.layer
            )
            run = told(run, StepDone(step=step.key))
        else:
            run = told(run, StepDone(step=step.key))
    raise AssertionError("no end")


def _weigh(run: Run, step: AddStep | ReleaseStep, divisions_mg: Mapping[str, int], factor: Fraction) -> Run:
    key, division = step.material, divisions_mg[step.material]
    for _ in range(60):
        dose = dosing(run, project(run, division), step, division)
        assert dose is not None
        mass = round(dose.target_mg * factor)
        if mass <= 0:
            break
        run = weighed(run, key, mass, step.key, division)
        if isinstance(step, AddStep):
            break
    return told(run, StepDone(step=step.key))


def limits(run: Run, **fields: object) -> Limits:
    """Roomy limits: 10 g for powders and water, 1 g for small doses."""
    coarse = {
        item.key: 10_000 if item.is_powder or item.role is Role.WATER else 1_000
        for item in run.recipe.materials
    }
    values: dict[str, object] = {
        "divisions_mg": coarse,
        "stock_mg": {},
        "bucket_l": run.start.bucket_l,
        "fill_limit": run.start.fill_limit,
        "needed_l": run.start.needed_l,
        "working_left_s": 1200,
        "stiffening": False,
    }
    return Limits(**values | fields)  # type: ignore[arg-type]


def with_steps(recipe: Recipe, *steps: Step) -> Recipe:
    return replace(recipe, steps=steps)


def worked(recipe: Recipe, until: str, bucket_l: float = 30.0, needed_l: float = 0.0, **factors: str) -> Run:
    """A batch up to a step, with some pours off by a factor; a step's key is written with _ for -."""
    powders_kg = BLEND_KG if recipe.name == BLEND.name else RAW_KG
    run = begin(recipe, powders_kg, bucket_l=bucket_l, needed_l=needed_l)
    off = {key.replace("_", "-"): Fraction(value) for key, value in factors.items()}
    return work(run, limits(run).divisions_mg, until=until, factors=off)


def listed(run: Run, **fields: object) -> tuple[Way, ...]:
    return ways_out(run, limits(run, **fields))


def of_kind(ways: tuple[Way, ...], kind: str) -> Way:
    """The first way of a kind that can be taken."""
    return next(way for way in ways if way.kind == kind and not way.hindrances)


def total(way: Way, key: str) -> int:
    return next(amount.mass_mg for amount in way.totals if amount.material == key)
