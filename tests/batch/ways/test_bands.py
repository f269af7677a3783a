"""What a way out may leave, and what it costs: by hand."""

from dataclasses import replace
from fractions import Fraction

import pytest

from mixstation.batch.events import FlagRaised
from mixstation.batch.targets import dose_now, project
from mixstation.batch.way import way_taken
from mixstation.batch.ways.bands import dose_band, powder_band
from mixstation.batch.ways.describe import strength_percent
from mixstation.proportion.strength import FARTHEST_CHANGE_RATIO
from mixstation.recipe.model import Tolerance
from tests.batch.ways.bucket import (
    BLEND,
    RAW,
    RAW_KG,
    begin,
    limits,
    listed,
    of_kind,
    told,
    total,
    weighed,
    worked,
)


def test_half_a_division_of_a_powder_is_as_fine_as_it_gets() -> None:
    """20 kg within 1 %, on a scale of 50 g: fine to 25 g, right within 200 g; on one of 500 g to 250 g."""
    blend = BLEND.material("blend")
    width_mg = (blend.tolerance.under + blend.tolerance.over) * 20_000_000
    found = powder_band(blend, Fraction(20_000_000), 50_000)
    assert (found.fine_mg, found.half_mg) == (25_000, width_mg / 2)
    assert powder_band(blend, Fraction(20_000_000), 500_000).fine_mg == 250_000


@pytest.mark.parametrize(("under", "over"), [(Fraction(0), Fraction(1, 50)), (Fraction(1, 50), Fraction(0))])
def test_an_end_without_a_tolerance_is_half_a_division_away(under: Fraction, over: Fraction) -> None:
    """20 kg, 400 g to one side and half of 50 g to the other: 425 g wide."""
    blend = replace(BLEND.material("blend"), tolerance=Tolerance(under=under, over=over))
    assert powder_band(blend, Fraction(20_000_000), 50_000).half_mg == 212_500


def test_a_dose_left_over_its_band_is_right_as_far_as_it_stands() -> None:
    run = weighed(worked(BLEND, "blend-50"), "fibre", 600_000, None)
    fibre, divisions = BLEND.material("fibre"), limits(run).divisions_mg
    before = dose_band(run, fibre, project(run), divisions)
    over = FlagRaised(code="dose-over", about="fibre", gravity="stop", said="over")
    left = told(run, over, way_taken(of_kind(listed(run), "leave"), "leave it"))
    after = dose_band(left, fibre, project(left), divisions)
    assert before is not None
    assert before.high is not None
    assert after is not None
    assert after.high is not None
    assert after.high.fraction == dose_now(BLEND, fibre, project(left).finals) > before.high.fraction


def test_a_larger_batch_costs_the_blend_it_takes_beyond_the_plan() -> None:
    """A bag of 20 kg for 39.00: every kilogram of blend more is 1.95; water and fibre have no price."""
    run = weighed(worked(BLEND, "fibre-100"), "water", 250_000, None)
    grown = of_kind(listed(run), "grow")
    more_mg = total(grown, "blend") - run.content["blend"]
    assert more_mg > 0
    assert grown.cost_cents == pytest.approx(float(more_mg * 3900 / 20_000_000), abs=1)


def test_a_change_of_strength_is_told_from_two_thousandths_of_the_ratio_and_no_farther_than_is_known() -> (
    None
):
    run = begin(RAW, RAW_KG)
    aimed, totals = run.start.aim.water_ratio, project(run).totals
    for sign in (-1, 1):
        assert strength_percent(run, totals, aimed + sign * Fraction(2, 1000)) is not None
        assert strength_percent(run, totals, aimed + sign * Fraction(1999, 1_000_000)) is None
        farthest = Fraction(FARTHEST_CHANGE_RATIO)
        ends = [
            strength_percent(run, totals, aimed + sign * far * farthest) for far in (Fraction(9, 10), 1, 2)
        ]
        assert ends[0] != ends[1] == ends[2]
