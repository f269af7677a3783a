"""The smallest dose a scale can weigh is one figure: the plan's and the bucket's, for even and uneven tolerances."""

from fractions import Fraction

import pytest

from mixstation.batch.flag.weighing import DoseSmallForScale
from mixstation.plan.apart import doses_of
from mixstation.plan.dosing import Scale, choose_weighing, smallest_dose_mg
from mixstation.recipe.model import Recipe, Tolerance
from mixstation.recipe.proportions import totals_for_powder
from tests.batch.making import Bench
from tests.batch.recipes import CLOUDED, CLOUDED_POWDERS, f, g, kg, with_material


def least_planned_mg(recipe: Recipe, division_mg: int, key: str) -> int:
    masses = totals_for_powder(recipe, sum(CLOUDED_POWDERS.values()))
    (dose,) = (dose for dose in doses_of(recipe, [masses]) if dose.material == key)
    scale = Scale(name="yard", capacity_mg=kg(60), division_mg=division_mg)
    full_mg = round(sum(masses.values(), Fraction(0)))
    return choose_weighing(
        dose,
        [scale],
        bucket_tare_mg=0,
        bucket_full_mg=full_mg,
        tub_tare_mg=0,
        bucket_count=1,
        bucket_water_mg=0,
    ).least_mg


def least_at_the_bucket_mg(recipe: Recipe, division_mg: int, key: str) -> int:
    bench = Bench.begin(recipe, CLOUDED_POWDERS, division_mg).goes_to(key)
    flag = bench.flags["dose-small-for-scale"]
    assert isinstance(flag, DoseSmallForScale)
    return flag.least_mg


# The narrower side counts; where it is nought, half the width.
@pytest.mark.parametrize(
    ("under", "over", "narrow"),
    [("0.03", "0.03", "0.03"), ("0.02", "0.04", "0.02"), ("0", "0.04", "0.02"), ("0.04", "0", "0.02")],
)
def test_plan_and_bucket_tell_the_same_figure(under: str, over: str, narrow: str) -> None:
    recipe = with_material(CLOUDED, "slate", tolerance=Tolerance(under=f(under), over=f(over)))
    division_mg = g(20)
    planned = least_planned_mg(recipe, division_mg, "slate")
    assert planned == least_at_the_bucket_mg(recipe, division_mg, "slate")
    assert planned == smallest_dose_mg(division_mg, tolerance=f(narrow))
    # 2/√6 of a step over the tolerance, JCGM 100 and 106 [mem].
    assert planned == pytest.approx(2 / 6**0.5 * division_mg / float(f(narrow)), abs=1)
