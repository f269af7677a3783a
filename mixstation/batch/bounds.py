"""What a stored recipe and aim must keep to, so that all that is worked out from them is defined.

Rules: these are the bounds of arithmetic, not of the trade: what a recipe should be is checked where it is read.
"""

from collections.abc import Iterator
from fractions import Fraction
from math import isfinite
from typing import assert_never

from mixstation.batch.events import Aim
from mixstation.recipe import model

# Choice: a thousand tonnes; no bucket holds it and floats still do.
MOST_MG = 10**12
# Choice: beyond any dose or ratio of a mix.
MOST_FRACTION = 1000


def recipe_fits(recipe: model.Recipe) -> bool:
    """Whether a batch of this recipe can be reckoned at all."""
    return all(_recipe_conditions(recipe))


def aim_fits(recipe: model.Recipe, aim: Aim) -> bool:
    """Whether an aim names this recipe's materials and can be reckoned."""
    materials = {material.key: material for material in recipe.materials}
    named = [powder.material for powder in aim.powders] + [dose.material for dose in aim.doses]
    if any(key not in materials for key in named):
        return False
    if any(not 0 <= powder.mass_mg <= MOST_MG for powder in aim.powders):
        return False
    if any(not 0 <= dose.fraction <= MOST_FRACTION for dose in aim.doses):
        return False
    # A material named twice counts with the later figure, as it does in the projection.
    doses = {dose.material: dose.fraction for dose in aim.doses}
    of_total = [fraction for key, fraction in doses.items() if materials[key].is_of_total]
    return sum(of_total, Fraction(0)) < 1 and abs(aim.water_ratio) <= MOST_FRACTION


def _recipe_conditions(recipe: model.Recipe) -> Iterator[bool]:
    keys = [material.key for material in recipe.materials]
    step_keys = [step.key for step in recipe.steps]
    yield len(set(keys)) == len(keys)
    yield len(set(step_keys)) == len(step_keys)
    yield [material.role for material in recipe.materials].count(model.Role.WATER) == 1
    yield recipe.water.of is not model.Basis.TOTAL
    yield all(
        0 <= end <= MOST_FRACTION for end in (recipe.water.least, recipe.water.most, recipe.water.ceiling)
    )
    yield 0 <= recipe.air_fraction < 1
    yield 0 <= recipe.working_min <= MOST_MG
    for material in recipe.materials:
        yield from _material_conditions(material)
    for step in recipe.steps:
        yield _step_fits(step, frozenset(keys))


def _material_conditions(material: model.Material) -> Iterator[bool]:
    yield isfinite(material.density_kg_m3) and material.density_kg_m3 > 0
    yield 0 <= material.water_fraction <= 1
    yield 0 <= material.moisture_fraction <= 1 and 0 <= material.absorption_fraction <= 1
    yield 0 <= material.tolerance.under <= 1 and 0 <= material.tolerance.over <= 1
    yield all(0 <= (part or 0) <= 1 for part in (material.cement_fraction, material.binder_fraction))
    if material.dose is not None:
        ends = (material.dose.fraction, material.dose.least, material.dose.most)
        yield not material.is_powder and material.role is not model.Role.WATER
        yield material.counted_share > 0
        yield all(0 <= (end or 0) < 1 for end in ends)
        yield not material.is_of_total or material.dose.fraction * (1 + material.tolerance.over) < 1
    if material.cap is not None:
        yield 0 <= material.cap.fraction <= MOST_FRACTION


def _step_fits(step: model.Step, materials: frozenset[str]) -> bool:
    match step:
        case model.AddStep():
            return step.material in materials and 0 <= step.cumulative <= 1
        case model.ReleaseStep():
            return step.material in materials and 0 < step.increment <= 1 and step.mix_s > 0
        case model.MixStep() | model.RestStep():
            return 0 <= step.min_s <= step.max_s and step.max_s > 0
        case model.SplitStep():
            return 0 <= step.fraction <= 1
        case model.ScrapeStep() | model.ConsistencyStep() | model.TemperatureStep() | model.NoteStep():
            return True
        case _ as forgotten:
            assert_never(forgotten)
