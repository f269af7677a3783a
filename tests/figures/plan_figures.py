"""What of a plan, or of a part of one, is kept: every figure under its name, the longest parts as one line of text.

Rules: fields that say nothing (None, "", an empty tuple) are left out, fractions are written as decimals.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from fractions import Fraction
from typing import Any

from mixstation.coded import Coded
from mixstation.plan.as_data import plan_data
from mixstation.plan.dosing import DoseWeighing
from mixstation.plan.drawing import draw_piece
from mixstation.plan.faults import PlanRefused
from mixstation.plan.job import plan_job
from mixstation.plan.job_parts import JobPlan, JobRequest
from mixstation.plan.timing import BucketTime
from mixstation.plan.views import views_of
from mixstation.plan.weigh_out import BucketPlan, WeighOut
from mixstation.proportion.error import ProportionError
from mixstation.recipe.model import Recipe, SplitStep
from mixstation.recipe.proportions import ScalingError
from mixstation.toml.lines import FileRefused
from mixstation.units.show import DisplayUnits
from mixstation.wording.fault_lines import sentence_of
from tests.figures.compared import digest

# Choice: so many buckets after the first, and cautions, are kept as they are; of all others the digits.
_WHOLE_COUNT, _CAUTION_COUNT = 2, 16
# What an input says already, and the longest words.
_LEFT_OUT = frozenset({"request", "piece", "recipe", "source"})


def shown(value: Any) -> Any:
    """A value of the plan as plain data."""
    if isinstance(value, Recipe):
        return _recipe(value)
    if isinstance(value, WeighOut):
        marks = " held back" * value.held_back + " diluted" * value.diluted
        return f"{value.step} {value.material} {value.mass_mg}/{value.division_mg}{marks}"
    if isinstance(value, Coded):
        return [value.code, {each.name: shown(getattr(value, each.name)) for each in fields(value)}]
    if isinstance(value, BucketTime | DoseWeighing):
        return [shown(getattr(value, each.name)) for each in fields(value)]
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Fraction):
        return float(f"{float(value):.10g}")
    if isinstance(value, float):
        return float(f"{value:.10g}") + 0.0
    if isinstance(value, Mapping):
        return {str(key): shown(each) for key, each in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        told = {each.name: shown(getattr(value, each.name)) for each in fields(value)}
        return {
            name: each for name, each in told.items() if name not in _LEFT_OUT and each not in (None, "", [])
        }
    if isinstance(value, Iterator):
        return _several(tuple(value))
    if isinstance(value, list | tuple | set | frozenset):
        return _several(sorted(value) if isinstance(value, set | frozenset) else value)
    return value if value is None or isinstance(value, str | int) else str(value)


def _several(values: list[Any] | tuple[Any, ...]) -> Any:
    """A list; pairs of a key and a figure as a dictionary where no key comes twice."""
    pairs = all(isinstance(each, tuple) and len(each) == 2 and isinstance(each[0], str) for each in values)
    if values and pairs and len({key for key, _ in values}) == len(values):
        return {key: shown(each) for key, each in values}
    return [shown(each) for each in values]


def _recipe(recipe: Recipe) -> dict[str, Any]:
    """Of a recipe that a plan made of another: its materials, and where it is split."""
    materials = {material.key: shown(material) for material in recipe.materials}
    return {"materials": materials, "steps": [step.key for step in recipe.steps], "splits": splits(recipe)}


def splits(recipe: Recipe) -> list[Any]:
    """Where a recipe is split, and by how much."""
    return [
        [place, step.layer, shown(step.fraction)]
        for place, step in enumerate(recipe.steps)
        if isinstance(step, SplitStep)
    ]


def told(call: Callable[[], Any]) -> Any:
    """What a call gives, or why it is refused."""
    try:
        return shown(call())
    except PlanRefused as refusal:
        return {"refused": shown(refusal.faults)}
    except FileRefused as refusal:
        return {"refused": [[each.line, each.code, sentence_of(each)] for each in refusal.faults]}
    except (ProportionError, ScalingError) as error:
        return {"refused": shown(error.why)}


def plan_figures(request: JobRequest, *, as_data: bool = False, drawn: bool = False) -> Any:
    """What a request comes to.

    Args:
        as_data: The plan for other programs too, of the buckets the first two.
        drawn: Drawings of its pieces too.
    """
    try:
        plan = plan_job(request)
    except PlanRefused as refusal:
        return {"refused": shown(refusal.faults)}
    found = shown(plan)
    cautions = found.get("cautions", [])
    found["pieces"] = [{**shown(each), "thick_mm": each.piece.thickness_mm} for each in plan.pieces]
    found["buckets"] = _buckets(plan.buckets)
    found["cautions"] = [
        *cautions[:_CAUTION_COUNT],
        *([digest(cautions)] if len(cautions) > _CAUTION_COUNT else []),
    ]
    if as_data:
        found["data"] = plan_data(plan)
        del found["data"]["buckets"][2:]
    if drawn:
        found["drawn"] = _drawings(plan)
    return found


def _buckets(buckets: tuple[BucketPlan, ...]) -> list[Any]:
    """The first bucket; of the next ones what differs from it, of the rest only the digits."""
    found = [{**shown(bucket), "splits": splits(bucket.recipe)} for bucket in buckets]
    first = found[0]
    others = [{key: each for key, each in bucket.items() if each != first.get(key)} for bucket in found[1:]]
    return [first, *others[:_WHOLE_COUNT], *([digest(others)] if len(others) > _WHOLE_COUNT else [])]


def _drawings(plan: JobPlan) -> list[Any]:
    """Each piece drawn in two sizes and units, and the size of each of its views."""
    found: list[Any] = []
    for each in plan.pieces:
        found += [
            [[view.title, shown(view.along_mm), shown(view.across_mm)] for view in views_of(each.piece)],
            draw_piece(each.piece, column_count=46, row_count=17),
            draw_piece(each.piece, column_count=33, row_count=11, units=DisplayUnits.US),
        ]
    return found
