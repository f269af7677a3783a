"""No way adds dry powder to a bucket that holds fibres: it goes in as a slurry mixed apart, at the recipe's ratio.

Source: Common practice, no source: powder worked into fibres balls up, and the working of it frays them.
"""

from fractions import Fraction

import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st

from mixstation.batch.advice import stand
from mixstation.batch.events import StepDone
from mixstation.batch.run import Run, TakeOutStep
from mixstation.batch.targets import project
from mixstation.batch.way import Way, way_taken
from mixstation.batch.ways import Limits, ways_out
from mixstation.recipe.model import AddStep, MixStep, Role
from mixstation.units.show import DisplayUnits
from mixstation.wording.asks import asked
from mixstation.wording.ways import way_line
from mixstation.wording.words import Speech
from tests.batch.ways.bucket import BLEND, RAW, limits, removed, scooped, told, weighed, worked
from tests.batch.ways.limits_kept import basis, free_water
from tests.batch.ways.troubles import Trouble, troubles
from tests.depth import examples

METRIC = DisplayUnits.METRIC


def powders(run: Run) -> list[str]:
    return [item.key for item in run.recipe.materials if item.is_powder]


def keeps_powder_out(run: Run, found: Limits, way: Way) -> None:
    """Powder that is more than the plan's comes with the water of the recipe, and is told and asked for apart."""
    keys, water = powders(run), run.recipe.water_key
    plan = project(run).finals
    ends = {amount.material: amount.mass_mg for amount in way.totals}
    now = {amount.material: amount.mass_mg for amount in way.additions}
    for key in keys:
        if run.pending(key):
            assert ends[key] <= plan[key] + found.divisions_mg[key], way
            assert key not in now, way
    dry = [key for key in keys if key in now]
    if not dry:
        return
    begun = {powder.material: powder.mass_mg for powder in run.start.aim.powders}
    sizes = {key: Fraction(now[key], begun[key]) for key in dry}
    for key in dry:
        slack = Fraction(2 * found.divisions_mg[key], begun[key])
        assert all(
            abs(sizes[key] - size) <= slack + _step(found, begun, other) for other, size in sizes.items()
        )
    wanted_mg = min(sizes.values()) * _begun_water(run)
    assert now.get(water, 0) >= wanted_mg - 2 * found.divisions_mg[water], way
    assert "apart into a plain slurry, fold it in" in way_line(way, run, METRIC)
    asks_for_it_apart(told(run, way_taken(way, "said")))


def _step(found: Limits, begun: dict[str, int], key: str) -> Fraction:
    return Fraction(2 * found.divisions_mg[key], begun[key])


def _begun_water(run: Run) -> Fraction:
    """The recipe's water for the batch as it was begun: ratio by basis, less what comes with all else."""
    begun = {item.key: Fraction(0) for item in run.recipe.materials}
    begun |= {powder.material: Fraction(powder.mass_mg) for powder in run.start.aim.powders}
    for item in run.recipe.materials:
        aims = {aim.material: aim.fraction for aim in run.start.aim.doses}
        if item.dose is not None and item.role is not Role.FIBRE and item.key in aims:
            begun[item.key] = aims[item.key] * basis(run, begun, item.dose.of) / item.counted_share
    rule = run.recipe.water
    return run.start.aim.water_ratio * basis(run, begun, rule.of) - free_water(run, begun)


def asks_for_it_apart(run: Run) -> None:
    """Every step of the way that brings something, and the mixing behind it, in words for any scale and none."""
    speech, seen = Speech(units=METRIC, division_mg=1000), 0
    while run.step is not None and run.step.key.startswith("way"):
        step = run.step
        if isinstance(step, TakeOutStep):
            take = (
                removed(run, step.material, step.mass_mg, step.key)
                if step.material
                else scooped(run, step.mass_mg, step.key)
            )
            run = told(take, StepDone(step=step.key))
            continue
        for has_scale in (True, False):
            words = asked(stand(run, 1000), reference=False, has_scale=has_scale, speech=speech).ask
            assert "into the bucket." not in words
            if isinstance(step, AddStep):
                assert "into a clean tub" in words, words
                seen += 1
            elif isinstance(step, MixStep):
                assert "Fold it into the bucket" in words, words
        run = told(run, StepDone(step=step.key))
    assert seen


@settings(
    max_examples=examples(100),
    suppress_health_check=list(HealthCheck),
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
)
@given(troubles(), st.integers(0, 60))
def test_no_way_of_any_batch_puts_dry_powder_into_fibres(trouble: Trouble, fibre_permille: int) -> None:
    run = trouble.run
    fibre = next(item.key for item in run.recipe.materials if item.role is Role.FIBRE)
    if fibre_permille and run.in_bucket_mg:
        run = weighed(run, fibre, round(run.in_bucket_mg * fibre_permille / 1000) or 1, None)
    assume(run.fibres_in)
    for way in ways_out(run, trouble.limits):
        if way.kind not in ("leave", "discard"):
            keeps_powder_out(run, trouble.limits, way)


@pytest.mark.parametrize("over", ["1.3", "1.6"])
@pytest.mark.parametrize("blend", [True, False])
def test_too_much_fibre_is_mended_with_slurry(blend: bool, over: str) -> None:
    """14 kg of blend with 2.4 % fibre aimed at: at 1.3 of it, 4.2 kg of blend and 0.63 kg of water bring it back."""
    recipe, until = (BLEND, "mix-3") if blend else (RAW, "mix-4")
    run = worked(recipe, until, fibre_100=over)
    first = ways_out(run, limits(run))[0]
    now = {amount.material: amount.mass_mg for amount in first.additions}
    assert set(powders(run)) <= set(now)
    if blend:
        assert now["water"] / now["blend"] == pytest.approx(0.150, abs=0.002)
        assert now["blend"] == pytest.approx(14_000_000 * (float(over) - 1), rel=0.01)
    # Powder goes into the liquid of the tub.
    assert first.additions[0].material == "water"
    keeps_powder_out(run, limits(run), first)
