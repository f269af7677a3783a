"""Sand moisture from a pan or as a figure."""

from fractions import Fraction

import pytest

from mixstation.plan.faults import PanTest, PlanRefused
from mixstation.plan.sand import moisture_by_pan, with_moisture
from mixstation.recipe.proportions import whole_totals
from tests.plan.recipes import raw_recipe


def test_a_pan_test_corrects_sand_and_water() -> None:
    # The recipe has 3 %; 840 g wet of 800 g dry is 5 %: 9 kg dry sand weighs 9.45 kg and brings 0.18 kg more water.
    assert moisture_by_pan(824_000, 800_000) == Fraction(3, 100)
    damp = with_moisture(raw_recipe(), "sand", moisture_by_pan(840_000, 800_000))
    before, after = whole_totals(raw_recipe(), 19_000_000), whole_totals(damp, 19_000_000)
    assert after["sand"] == 9_450_000
    assert before["water"] - after["water"] == 180_000
    assert after["cement"] == before["cement"]


def test_free_moisture_is_net_of_absorption() -> None:
    total = with_moisture(raw_recipe(), "sand", Fraction(4, 100))
    free = with_moisture(raw_recipe(), "sand", Fraction(3, 100), "free")
    assert total == free


@pytest.mark.parametrize(("wet_mg", "dry_mg"), [(700, 800), (0, 0), (800, 0), (-5, -6)])
def test_a_pan_test_that_cannot_be(wet_mg: int, dry_mg: int) -> None:
    with pytest.raises(PlanRefused) as caught:
        moisture_by_pan(wet_mg, dry_mg)
    assert caught.value.faults == (PanTest(wet_mg=wet_mg, dry_mg=dry_mg),)
    assert caught.value.faults[0].code == "pan-test"


@pytest.mark.parametrize(
    ("key", "fraction", "code"),
    [
        ("cement", Fraction(3, 100), "not-sand"),
        ("gravel", Fraction(3, 100), "not-sand"),
        ("sand", Fraction(-1, 100), "moisture-range"),
        ("sand", Fraction(31, 100), "moisture-range"),
    ],
)
def test_refusals(key: str, fraction: Fraction, code: str) -> None:
    with pytest.raises(PlanRefused) as caught:
        with_moisture(raw_recipe(), key, fraction)
    assert caught.value.faults[0].code == code
