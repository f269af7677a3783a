"""Powder for a volume, a bag, a mass, the stock; volumes by absolute volume."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mixstation.plan.batch_size import (
    mix_density_kg_m3,
    powder_for_mass,
    powder_for_material,
    powder_for_stock,
    size_for_volume,
    volume_for_powders_l,
)
from mixstation.plan.faults import PlanRefused
from mixstation.plan.layering import totals_at_split, with_split, without_split
from mixstation.recipe.model import Recipe
from mixstation.recipe.proportions import totals_for_powder, volume_l, whole_totals
from tests.plan.recipes import blend_recipe, random_recipes, raw_recipe


def test_volume_of_a_blend_by_hand() -> None:
    # 20 kg blend and 2.8 kg water, fibre 3 % of all: 22.8 × 3/97 = 0.705155 kg.
    # 2.8 + 20/2.8 + 0.705155/2.7 = 10.20402 L, with 5 % air 10.74107 L.
    masses = whole_totals(blend_recipe(), 20_000_000)
    assert {key: round(float(mass)) for key, mass in masses.items()} == {
        "water": 2_800_000,
        "blend": 20_000_000,
        "fibre": 705_155,
    }
    assert volume_l(blend_recipe(), masses) == pytest.approx(10.74107, abs=1e-5)
    assert mix_density_kg_m3(blend_recipe()) == pytest.approx(23.505155 / 10.74107 * 1000, abs=0.1)
    # The same for half the bag.
    assert volume_for_powders_l(blend_recipe(), {"blend": 10_000_000}) == pytest.approx(
        10.74107 / 2, abs=1e-5
    )


def test_damp_sand_takes_the_room_of_its_grains_and_its_free_water() -> None:
    # 9 kg dry with 3 % moisture and 1 % absorption: 9.27 kg weighed, 0.18 kg free, grains with full pores 9.09 kg.
    recipe = raw_recipe()
    sand, water = recipe.material("sand"), recipe.material("water")
    litres = 9.09 / sand.density_kg_m3 * 1000 + 0.18 / water.density_kg_m3 * 1000
    assert whole_totals(recipe, 19_000_000)["sand"] == 9_270_000
    assert volume_l(recipe, {"sand": 9_270_000}) * (1 - float(recipe.air_fraction)) == pytest.approx(litres)


def test_sand_that_drinks_takes_its_water_from_the_mix() -> None:
    recipe = raw_recipe()
    thirsty = replace(recipe.material("sand"), moisture_fraction=Fraction(0))
    dry = replace(
        recipe, materials=tuple(thirsty if each.key == "sand" else each for each in recipe.materials)
    )
    # The same grains and the same free water fill the same room.
    assert volume_l(dry, whole_totals(dry, 19_000_000)) == pytest.approx(
        volume_l(recipe, whole_totals(recipe, 19_000_000))
    )


@settings(deadline=None)
@given(
    random_recipes(),
    st.floats(min_value=0, max_value=3),
    st.floats(min_value=2, max_value=60),
    st.integers(1, 6),
)
def test_the_buckets_hold_the_volume_asked_for(
    recipe: Recipe, face_l: float, rest_l: float, bucket_count: int
) -> None:
    size = size_for_volume(recipe, face_l=face_l, rest_l=rest_l, bucket_count=bucket_count)
    powder = size.powder_dry_mg / bucket_count
    held_l = face_found_l = 0.0
    for fraction in size.face_fractions:
        if fraction:
            split = with_split(recipe, fraction, "face coat")
            at_split = totals_at_split(split, powder)
            assert at_split["fibre"] == 0
            face_found_l += float(fraction) * volume_l(recipe, at_split)
            held_l += volume_l(recipe, totals_for_powder(split, powder))
        else:
            held_l += volume_l(recipe, totals_for_powder(without_split(recipe), powder))
    assert held_l == pytest.approx(face_l + rest_l, rel=2e-4)
    assert face_found_l == pytest.approx(face_l, rel=1e-3, abs=2e-3)


def test_the_face_coat_comes_from_one_bucket_where_it_can() -> None:
    size = size_for_volume(raw_recipe(), face_l=3.0, rest_l=17.0, bucket_count=4)
    assert [fraction > 0 for fraction in size.face_fractions] == [True, False, False, False]
    size = size_for_volume(raw_recipe(), face_l=8.0, rest_l=12.0, bucket_count=4)
    assert [fraction > 0 for fraction in size.face_fractions] == [True, True, False, False]
    assert size.face_fractions[0] == size.face_fractions[1]


def test_a_measured_density_takes_the_place_of_absolute_volume() -> None:
    size = size_for_volume(blend_recipe(), face_l=0, rest_l=12.0, bucket_count=1, density_kg_m3=2000.0)
    masses = totals_for_powder(blend_recipe(), size.powder_dry_mg)
    assert float(sum(masses.values())) == pytest.approx(24e6, rel=1e-6)
    assert size.density_kg_m3 == pytest.approx(2000.0)


def test_a_measured_density_counts_for_the_face_coat_too() -> None:
    recipe = raw_recipe()
    size = size_for_volume(recipe, face_l=3.0, rest_l=17.0, bucket_count=2, density_kg_m3=1990.0)
    lighter = mix_density_kg_m3(recipe) / 1990.0
    split = with_split(recipe, size.face_fractions[0], "face coat")
    face_l = float(size.face_fractions[0]) * volume_l(recipe, totals_at_split(split, size.powder_dry_mg / 2))
    both_l = volume_l(recipe, totals_for_powder(split, size.powder_dry_mg / 2)) + volume_l(
        recipe, totals_for_powder(without_split(recipe), size.powder_dry_mg / 2)
    )
    assert face_l * lighter == pytest.approx(3.0, rel=1e-3)
    assert both_l * lighter == pytest.approx(20.0, rel=1e-3)


def test_one_bag_and_a_chosen_mass_are_exact() -> None:
    recipe = raw_recipe()
    bag = totals_for_powder(recipe, powder_for_material(recipe, "cement", 25_000_000))
    assert bag["cement"] == 25_000_000
    chosen = totals_for_powder(recipe, powder_for_mass(recipe, 30_000_000))
    assert sum(chosen.values()) == 30_000_000


def test_the_scarcest_material_limits_a_batch_from_stock() -> None:
    recipe = raw_recipe()
    one = totals_for_powder(recipe, 1)
    on_hand = {key: int(mass * 20_000_000) for key, mass in one.items() if key != "water"}
    on_hand["ochre"] //= 2
    powder, limit = powder_for_stock(recipe, on_hand)
    assert limit == "ochre"
    assert float(powder) == pytest.approx(10_000_000, rel=1e-5)
    needed = totals_for_powder(recipe, powder)
    assert all(needed[key] <= mass for key, mass in on_hand.items())


def refusal(call: object) -> tuple[str, str]:
    with pytest.raises(PlanRefused) as caught:
        call()  # type: ignore[operator]
    (fault,) = caught.value.faults
    return fault.code, fault.about


def test_refusals() -> None:
    recipe = raw_recipe()
    assert refusal(lambda: powder_for_material(recipe, "cemnt", 1)) == ("unknown-material", "cemnt")
    assert refusal(lambda: powder_for_material(recipe, "cement", 0)) == ("nothing-to-mix", "")
    assert refusal(lambda: powder_for_mass(recipe, -1)) == ("nothing-to-mix", "")
    assert refusal(lambda: powder_for_stock(recipe, {"lime": 10})) == ("stock-unknown", "")
    assert refusal(lambda: powder_for_stock(recipe, {"sand": 0})) == ("nothing-on-hand", "sand")
    nothing = lambda: size_for_volume(recipe, face_l=0, rest_l=0, bucket_count=1)  # noqa: E731
    assert refusal(nothing) == ("nothing-to-mix", "")
    only_face = lambda: size_for_volume(recipe, face_l=4.0, rest_l=0.0, bucket_count=1)  # noqa: E731
    assert refusal(only_face) == ("face-coat-only", "")
    drowned = replace(recipe, water=replace(recipe.water, target=Fraction(1, 100)))
    assert refusal(lambda: powder_for_mass(drowned, 1_000_000)) == ("water-all-carried", "")
    assert refusal(lambda: mix_density_kg_m3(drowned)) == ("water-all-carried", "")
