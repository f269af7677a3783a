"""Plans of the recipes that come with the program, handed over to the bucket."""

from dataclasses import replace
from pathlib import Path

import pytest

from mixstation.batch.dosing import dosing
from mixstation.batch.events import BatchStarted, Entry, Fact, PortionTaken, Stamp, StepDone, WeightRecorded
from mixstation.batch.run import Run, fold
from mixstation.batch.targets import aim_of, project
from mixstation.plan.buckets import Bucket
from mixstation.plan.dosing import Scale
from mixstation.plan.job import plan_job
from mixstation.plan.job_parts import ForPieces, JobRequest, Shop
from mixstation.plan.pieces import Piece, coats
from mixstation.plan.shapes import Slab
from mixstation.plan.weigh_out import BucketPlan
from mixstation.recipe.file import load_recipe
from mixstation.recipe.model import AddStep, Recipe, SplitStep

RECIPES = sorted((Path(__file__).parents[2] / "recipes").glob("*.toml"))
SHOP = Shop(
    bucket=Bucket(volume_l=20.0, tare_mg=900_000),
    scales=(
        Scale(name="platform", capacity_mg=30_000_000, division_mg=5000),
        Scale(name="bench", capacity_mg=3_000_000, division_mg=100),
    ),
    tub_tare_mg=200_000,
)


def bench_top_job(recipe: Recipe, face_mm: float) -> JobRequest:
    slab = Slab(length_mm=700, width_mm=450)
    top = Piece(name="bench top", shape=slab, layers=coats(18, face_mm), count=3)
    return JobRequest(recipe=recipe, amount=ForPieces(pieces=(top,)), shop=SHOP)


def started(bucket: BucketPlan, *more: Fact) -> Run:
    stamp = Stamp(utc_ms=0, offset_min=0, boot_ms=0, mono_ms=0, boot_id="b", who="")
    start = BatchStarted(
        batch_id="bench-top-1",
        piece="bench top",
        recipe_text="",
        recipe_hash="",
        recipe=bucket.recipe,
        aim=aim_of(bucket.recipe, dict(bucket.powders)),
        weighing="bucket",
        scale=None,
        bucket_l=20.0,
        fill_limit=2 / 3,
        bucket_number=bucket.number,
        bucket_count=2,
        needed_l=bucket.needed_l,
        stock=(),
        lots=(),
        shop_c=None,
        program="test",
    )
    return fold(Entry(seq=at, stamp=stamp, fact=fact) for at, fact in enumerate((start, *more), start=1))


@pytest.mark.parametrize("path", RECIPES, ids=lambda path: path.stem)
@pytest.mark.parametrize("face_mm", [0.0, 3.0])
def test_the_bucket_asks_for_what_was_planned(path: Path, face_mm: float) -> None:
    plan = plan_job(bench_top_job(load_recipe(path).recipe, face_mm))
    divisions = {weighing.material: weighing.division_mg for weighing in plan.weighings}
    assert plan.volume.mould_l == pytest.approx(3 * 5.67, abs=0.02)
    for bucket in plan.buckets:
        asked = project(started(bucket)).totals
        split = any(isinstance(step, SplitStep) for step in bucket.recipe.steps)
        for key, mass_mg in bucket.amounts:
            recipe_material = bucket.recipe.material(key)
            after_split = recipe_material.role == "fibre" or key in ("slate", "buff")
            if split and after_split:
                # Dosed on what is left; the bucket asks for the whole until the face coat is out.
                assert mass_mg < asked[key]
            else:
                # Doses follow the powders as rounded: a division of powder moves them by its own share.
                slack = divisions[key] + sum(divisions[powder] for powder, _ in bucket.powders)
                assert abs(asked[key] - mass_mg) <= slack, key


def typed(step: str, material: str, mass_mg: int) -> tuple[Fact, ...]:
    weight = WeightRecorded(
        step=step, material=material, mass_mg=mass_mg, source="typed", shown="", division_mg=1000
    )
    return weight, StepDone(step=step)


@pytest.mark.parametrize("path", RECIPES, ids=lambda path: path.stem)
def test_after_the_face_coat_is_out_the_bucket_asks_for_the_planned_rest(path: Path) -> None:
    plan = plan_job(bench_top_job(load_recipe(path).recipe, 3.0))
    first = plan.buckets[0]
    places = {step.key: at for at, step in enumerate(first.recipe.steps)}
    split = next(step for step in first.recipe.steps if isinstance(step, SplitStep))
    early = [line for line in first.weigh_outs if places[line.step] < places[split.key]]
    late = {line.material: line.mass_mg for line in first.weigh_outs if places[line.step] > places[split.key]}
    (face,) = first.take_outs
    facts = [fact for line in early for fact in typed(line.step, line.material, line.mass_mg)]
    out = PortionTaken(
        step=split.key, layer="face coat", mass_mg=face.mass_mg, source="typed", shown="", division_mg=1000
    )
    asked = project(started(first, *facts, out)).totals
    assert late
    for key, mass_mg in late.items():
        assert float(asked[key]) == pytest.approx(mass_mg, rel=0.01, abs=5000), key


@pytest.mark.parametrize("path", RECIPES, ids=lambda path: path.stem)
@pytest.mark.parametrize("face_mm", [0.0, 3.0])
@pytest.mark.parametrize("count", [1, 2, 5])
def test_the_sheet_says_what_the_bucket_asks_for_step_by_step(path: Path, face_mm: float, count: int) -> None:
    job = bench_top_job(load_recipe(path).recipe, face_mm)
    assert isinstance(job.amount, ForPieces)
    pieces = (replace(job.amount.pieces[0], count=count),)
    for bucket in plan_job(replace(job, amount=ForPieces(pieces=pieces))).buckets:
        lines = {line.step: line for line in bucket.weigh_outs}
        facts: list[Fact] = []
        for step in bucket.recipe.steps:
            if isinstance(step, SplitStep):
                (face,) = bucket.take_outs
                facts.append(
                    PortionTaken(
                        step=step.key,
                        layer="face coat",
                        mass_mg=face.mass_mg,
                        source="typed",
                        shown="",
                        division_mg=1000,
                    )
                )
            if (line := lines.get(step.key)) is None:
                continue
            if isinstance(step, AddStep):
                run = started(bucket, *facts)
                asked = dosing(run, project(run), step, line.division_mg)
                assert asked is not None
                # A portion taken out is weighed in grams, so what follows it may differ by a division.
                slack = line.division_mg if any(isinstance(fact, PortionTaken) for fact in facts) else 0
                assert abs(asked.target_mg - line.mass_mg) <= slack, (bucket.number, line)
            facts += typed(step.key, line.material, line.mass_mg)


def test_shipped_recipes_are_found() -> None:
    assert len(RECIPES) >= 3
