"""The rescue bag."""

from dataclasses import replace
from fractions import Fraction

from mixstation.plan.rescue import rescue_bag
from tests.plan.recipes import raw_recipe

BUCKET = {
    "water": 2_500_000,
    "cement": 8_000_000,
    "sand": 7_400_000,
    "emulsion": 800_000,
    "ochre": 240_000,
    "fibre": 9_000,
}
DIVISIONS = dict.fromkeys(BUCKET, 5000) | {"ochre": 100}


def test_five_to_ten_per_cent_of_powder_and_pigment() -> None:
    bag = rescue_bag(raw_recipe(), BUCKET, DIVISIONS)
    assert [(part.material, part.least_mg, part.most_mg) for part in bag.parts] == [
        ("cement", 400_000, 800_000),
        ("sand", 370_000, 740_000),
        ("ochre", 12_000, 24_000),
    ]
    assert bag.apart == ()


def test_a_liquid_pigment_is_kept_apart() -> None:
    recipe = raw_recipe()
    liquid = replace(recipe.material("ochre"), water_fraction=Fraction(1, 2))
    wet = replace(
        recipe, materials=tuple(liquid if each.key == "ochre" else each for each in recipe.materials)
    )
    bag = rescue_bag(wet, BUCKET, DIVISIONS)
    assert [part.material for part in bag.parts] == ["cement", "sand"]
    assert bag.apart == ("ochre",)


def test_what_rounds_to_nothing_is_left_out() -> None:
    bag = rescue_bag(raw_recipe(), {"cement": 8_000_000, "ochre": 400}, DIVISIONS)
    assert [part.material for part in bag.parts] == ["cement"]
