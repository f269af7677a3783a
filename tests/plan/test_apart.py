"""Which doses the main scale is too coarse for, and the scale on file that takes them."""

from dataclasses import replace
from fractions import Fraction

from mixstation.plan.apart import weighed_beside
from mixstation.plan.buckets import Bucket
from mixstation.plan.dosing import Scale, smallest_dose_mg
from mixstation.plan.job_parts import Shop
from mixstation.recipe.model import AddStep, Recipe
from mixstation.recipe.proportions import totals_for_powder
from tests.station.recipes import slate

FLOOR = Scale(name="floor", capacity_mg=60_000_000, division_mg=5_000)
KITCHEN = Scale(name="kitchen", capacity_mg=5_000_000, division_mg=1_000)
FINE = Scale(name="fine", capacity_mg=500_000, division_mg=100)
RECIPE = slate().recipe


def beside(
    powder_mg: int, *scales: Scale, main: Scale = FLOOR, of: Recipe = RECIPE, tub_mg: int = 0
) -> dict[str, str]:
    masses = totals_for_powder(of, powder_mg)
    powders = {m.key: round(masses[m.key]) for m in of.materials if m.is_powder}
    shop = Shop(bucket=Bucket(volume_l=30.0), scales=(main, *scales), tub_tare_mg=tub_mg)
    return {each.material: each.scale for each in weighed_beside(of, powders, main, shop)}


def test_a_small_dose_goes_on_the_finest_scale_that_holds_it() -> None:
    """1.32 % of 2 kg is 26.4 g; at 3 % a step of 5 g is good from 136 g, of 1 g from 27.2 g, of 0.1 g from 2.7 g."""
    assert totals_for_powder(RECIPE, 2_000_000)["slate"] == 26_400
    leasts = [
        smallest_dose_mg(scale.division_mg, tolerance=Fraction(3, 100)) for scale in (FLOOR, KITCHEN, FINE)
    ]
    assert [round(least, -3) for least in leasts] == [136_000, 27_000, 3_000]
    assert beside(2_000_000, KITCHEN, FINE)["slate"] == "fine"
    assert "slate" not in beside(2_000_000, KITCHEN)


def test_a_dose_large_enough_stays_on_the_main_scale() -> None:
    assert beside(2_000_000, FINE)["slate"] == "fine"
    assert "slate" not in beside(20_000_000, FINE)
    assert beside(20_000_000, FINE) == {}


def test_a_scale_that_cannot_hold_dose_and_tub_at_once_is_passed_over() -> None:
    assert beside(2_000_000, FINE, tub_mg=480_000).get("slate") is None


def in_halves() -> Recipe:
    """The slate in two additions of 50 %."""
    step = next(s for s in RECIPE.steps if isinstance(s, AddStep) and s.material == "slate")
    halves = (
        replace(step, share=Fraction(1, 2), cumulative=Fraction(1, 2)),
        replace(step, key="again", share=Fraction(1, 2)),
    )
    steps = tuple(s for each in RECIPE.steps for s in (halves if each is step else (each,)))
    return replace(RECIPE, steps=steps)


def test_a_small_dose_in_shares_has_every_share_on_the_finer_scale() -> None:
    """12 kg give 158.4 g, in halves 79.2 g: too little for 5 g steps."""
    assert beside(12_000_000, FINE, of=in_halves())["slate"] == "fine"
    # The two readings of 5 g share the tolerance: what one addition could weigh, two cannot.
    assert beside(13_000_000, FINE) == {}
    assert beside(13_000_000, FINE, of=in_halves())["slate"] == "fine"
    assert beside(40_000_000, FINE, of=in_halves()) == {}


def test_the_finer_scale_has_to_hold_each_share_not_the_sum() -> None:
    assert beside(10_000_000, FINE, of=in_halves(), tub_mg=400_000)["slate"] == "fine"
    assert beside(10_000_000, FINE, tub_mg=400_000).get("slate") is None


def test_what_is_held_back_stays_on_the_main_scale() -> None:
    assert "water" not in beside(300_000, FINE)


def test_no_finer_scale_nothing_apart() -> None:
    coarse = Scale(name="yard", capacity_mg=150_000_000, division_mg=50_000)
    assert beside(2_000_000) == beside(2_000_000, coarse) == beside(2_000_000, FLOOR) == {}
    assert beside(2_000_000, FLOOR, main=FINE) == {}
