"""The aim of a batch that follows another: to what that one got, inside the bands."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from mixstation.batch.commands import Finish
from mixstation.batch.events import DoseAim, Got
from mixstation.batch.like import aim_like, got
from mixstation.batch.targets import dose_band
from mixstation.recipe.model import MixStep, Role
from tests.batch.making import Bench, clouded, raw, started
from tests.batch.recipes import CLOUDED, CLOUDED_POWDERS, RAW, RAW_POWDERS

UNSURE = Fraction(1, 1000)


def like(ratio: Fraction, *doses: DoseAim, steers: bool = True) -> Got:
    return Got(batch_id="b-0", bucket_number=1, water_ratio=ratio, doses=doses, steers=steers)


@pytest.mark.parametrize("off", ["inside", "over", "under"])
def test_the_water_is_followed_as_far_as_it_is_surely_in_the_band(off: str) -> None:
    rule = RAW.water
    inside = rule.target + (rule.most - rule.target) / 3
    had, aimed = {
        "inside": (inside, inside),
        "over": (rule.most + Fraction(1, 100), rule.most - UNSURE),
        "under": (rule.least - Fraction(1, 100), rule.least + UNSURE),
    }[off]
    start = started(RAW, RAW_POWDERS, like=like(had))
    assert aim_like(start, UNSURE).water_ratio == aimed
    # A band too narrow for this scale is no reason to leave the recipe.
    assert aim_like(start, rule.most).water_ratio == rule.target


def test_pigment_and_polymer_are_followed_in_their_bands_and_nothing_else() -> None:
    most = {each.key: dose_band(each)[1] for each in RAW.materials if each.dose is not None}
    had = tuple(DoseAim(material=key, fraction=2 * end) for key, end in most.items())
    start = started(RAW, RAW_POWDERS, like=like(RAW.water.target, *had))
    aim = {dose.material: dose.fraction for dose in aim_like(start, UNSURE).doses}
    own = {dose.material: dose.fraction for dose in start.aim.doses}
    followed = {each.key for each in RAW.materials if each.role in (Role.PIGMENT, Role.POLYMER)}
    assert followed & aim.keys()
    assert aim == {key: most[key] if key in followed else own[key] for key in own}


def test_one_that_is_only_told_of_steers_nothing() -> None:
    start = started(CLOUDED, CLOUDED_POWDERS, like=like(CLOUDED.water.most, steers=False))
    assert aim_like(start, UNSURE) == start.aim


@pytest.mark.parametrize("begin", [raw, clouded])
def test_a_batch_as_advised_got_what_its_recipe_says(begin: Callable[[], Bench]) -> None:
    bench = begin()
    assert got(bench.run) is None
    bench.goes_through()
    bench.does(Finish(concession="as it is"))
    found = got(bench.run, 2)
    assert found is not None
    assert found.bucket_number == 2
    assert float(found.water_ratio) == pytest.approx(float(bench.run.recipe.water.target), rel=0.02)
    mixed = {step.key: step.min_s for step in bench.run.steps if isinstance(step, MixStep)}
    assert {each.step: each.took_s for each in found.mixed} == mixed
