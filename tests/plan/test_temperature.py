"""Mix temperature of a planned batch, and what follows from it."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.plan.cautions import WantedOutOfReach
from mixstation.plan.faults import PlanRefused, Temperature
from mixstation.plan.temperature import Climate, TemperaturePlan, plan_temperature
from mixstation.proportion.temperature import WaterOffCement
from mixstation.recipe.model import Recipe, Role
from mixstation.recipe.proportions import Masses, whole_totals
from tests.plan.recipes import blend_recipe, raw_recipe

MASSES: Masses = whole_totals(raw_recipe(), 19_000_000)


def plan(**climate: object) -> TemperaturePlan:
    return plan_temperature(raw_recipe(), MASSES, Climate(**climate))  # type: ignore[arg-type]


def codes(found: TemperaturePlan) -> list[str]:
    return [caution.code for caution in found.cautions]


def test_mix_temperature_by_hand() -> None:
    # All but the water at 30 °C:
    # solids 10 + 9 + 0.5 polymer + 0.018 plasticiser + 0.3 pigment + 3/97 of all as fibre; water 2.578 kg at 12 °C,
    # at 30 °C 0.27 of the sand, 0.5 of the emulsion, 0.042 of the plasticiser.
    fibre_kg = float(MASSES["fibre"]) / 1e6
    solids_kg = 10 + 9 + 0.5 + 0.018 + 0.3 + fibre_kg
    warm_water_kg = 0.27 + 0.5 + 0.042
    water_kg = 3.3 - 0.18 - 0.5 - 0.042
    assert float(MASSES["water"]) / 1e6 == pytest.approx(water_kg)
    heat = 0.22 * solids_kg * 30 + warm_water_kg * 30 + water_kg * 12
    expected_c = heat / (0.22 * solids_kg + warm_water_kg + water_kg)
    assert plan(shop_c=30.0, water_c=12.0).mix_c == pytest.approx(expected_c)


def test_a_material_may_have_its_own_temperature() -> None:
    warmer = plan(shop_c=20.0, material_c={"cement": 45.0})
    assert warmer.mix_c > plan(shop_c=20.0).mix_c == pytest.approx(20.0)


def test_water_or_ice_for_a_cooler_mix() -> None:
    found = plan(shop_c=30.0, water_c=18.0, wanted_c=23.0)
    assert found.water_for_wanted_c is not None
    assert found.ice_for_wanted_fraction is not None
    assert 0 < found.water_for_wanted_c < 18
    again = plan(shop_c=30.0, water_c=found.water_for_wanted_c)
    assert again.mix_c == pytest.approx(23.0)
    assert found.working_min == again.working_min
    assert 0 < found.ice_for_wanted_fraction < 0.2


def test_much_ice_is_cautioned_and_too_much_is_out_of_reach() -> None:
    much = plan(shop_c=34.0, water_c=20.0, wanted_c=20.0)
    assert much.water_for_wanted_c is None
    assert "ice-over-sure-share" in codes(much)
    never = plan(shop_c=45.0, water_c=30.0, wanted_c=2.0)
    assert "wanted-too-cold" in codes(never)
    assert never.ice_for_wanted_fraction is None
    assert never.water_for_wanted_c is None
    assert never.reached_c == never.mix_c
    assert never.working_min == plan(shop_c=45.0, water_c=30.0).working_min


def test_hot_water_for_a_warmer_mix_is_cautioned() -> None:
    found = plan(shop_c=8.0, water_c=8.0, wanted_c=24.0)
    assert found.water_for_wanted_c is not None
    assert 38 < found.water_for_wanted_c < 60
    assert found.reached_c == 24.0
    assert "water-off-cement" in codes(found)
    assert found.ice_for_wanted_fraction == 0


@pytest.mark.parametrize(("shop_c", "wanted_c"), [(4.0, 25.0), (1.0, 35.0), (5.0, 60.0)])
def test_no_plan_asks_for_scalding_water(shop_c: float, wanted_c: float) -> None:
    found = plan(shop_c=shop_c, wanted_c=wanted_c)
    assert found.water_for_wanted_c is None
    # What is left is what the hottest water allowed gives, and all else is reckoned for that.
    hottest = plan(shop_c=shop_c, water_c=59.0)
    assert found.reached_c == pytest.approx(hottest.mix_c)
    assert shop_c < found.reached_c < wanted_c
    assert found.working_min == pytest.approx(hottest.working_min)
    cautions = {caution.code: caution for caution in found.cautions}
    assert cautions["wanted-out-of-reach"] == WantedOutOfReach(
        wanted_c=wanted_c, reached_c=found.reached_c, water_c=59.0
    )
    assert cautions["water-off-cement"] == WaterOffCement(found_c=59.0, limit_c=38.0)
    assert "water-too-hot" not in cautions


@given(st.floats(-10, 45), st.floats(0, 99), st.floats(0, 60))
def test_water_asked_for_is_below_sixty_and_gives_what_is_said(
    shop_c: float, water_c: float, wanted_c: float
) -> None:
    found = plan(shop_c=shop_c, water_c=water_c, wanted_c=wanted_c)
    if found.water_for_wanted_c is None:
        assert found.reached_c != wanted_c or found.ice_for_wanted_fraction is not None
    else:
        assert 0 <= found.water_for_wanted_c < 60
        assert plan(shop_c=shop_c, water_c=found.water_for_wanted_c).mix_c == pytest.approx(
            wanted_c, abs=1e-6
        )


def test_no_casting_below_the_polymer_s_film_forming_temperature() -> None:
    cold = plan(shop_c=7.0)
    assert codes(cold)[:2] == ["mix-below-film-forming", "air-below-film-forming"]
    warm_mix = plan(shop_c=7.0, wanted_c=15.0)
    assert codes(warm_mix)[0] == "air-below-film-forming"
    assert "mix-below-film-forming" not in codes(warm_mix)
    assert codes(plan(shop_c=18.0)) == []


def test_a_blend_without_polymer_has_no_film_to_form() -> None:
    masses = whole_totals(blend_recipe(), 20_000_000)
    assert plan_temperature(blend_recipe(), masses, Climate(shop_c=7.0)).cautions == ()


def test_working_time_is_a_band_that_shrinks_with_warmth() -> None:
    at_20 = plan(shop_c=20.0).working_min
    assert at_20 == pytest.approx((24.0, 36.0))
    assert plan(shop_c=31.0).working_min[1] < at_20[1]
    assert "working-time-short" in codes(plan(shop_c=33.0))


def test_dry_air_is_cautioned_where_it_is_known() -> None:
    assert plan(shop_c=28.0).drying is None
    windy = plan(shop_c=28.0, humidity_fraction=0.3, wind_kmh=15.0)
    assert windy.drying is not None
    assert windy.drying.rate_kg_m2_h > 0.5
    assert {"drying-thin-skin", "drying-any-surface"} & set(codes(windy))
    calm = plan(shop_c=18.0, humidity_fraction=0.6)
    assert calm.drying is not None
    assert codes(calm) == []


@pytest.mark.parametrize(
    "climate",
    [
        {"shop_c": 200.0},
        {"shop_c": float("nan")},
        {"shop_c": 20.0, "wanted_c": 90.0},
        {"shop_c": 20.0, "humidity_fraction": 45.0},
        {"shop_c": 20.0, "humidity_fraction": 0.5, "wind_kmh": -3.0},
    ],
)
def test_refuses_what_the_formulas_do_not_answer_for(climate: dict[str, float]) -> None:
    with pytest.raises(PlanRefused) as caught:
        plan(**climate)
    (fault,) = caught.value.faults
    assert fault.code == "temperature"
    assert isinstance(fault, Temperature)
    assert fault.figure.name


def iced(ice_mg: int) -> tuple[Recipe, Masses]:
    """The recipe with so much of its water as ice."""
    with_ice = raw_recipe()
    frozen = replace(with_ice.material("water"), key="ice", role=Role.ICE)
    recipe = replace(with_ice, materials=(*with_ice.materials, frozen))
    return recipe, {**MASSES, "water": MASSES["water"] - ice_mg, "ice": Fraction(ice_mg)}


def test_ice_in_the_recipe_counts_as_ice() -> None:
    found = plan_temperature(*iced(300_000), Climate(shop_c=28.0))
    assert found.mix_c < 28.0 - 3.0


@pytest.mark.parametrize("ice_mg", [100_000, 300_000, 500_000])
def test_ice_in_the_recipe_counts_in_the_ice_for_a_wanted_temperature(ice_mg: int) -> None:
    """The same water, part of it frozen by the recipe already, wants the same ice in all."""
    plain = plan(shop_c=30.0, water_c=18.0, wanted_c=23.0)
    found = plan_temperature(*iced(ice_mg), Climate(shop_c=30.0, water_c=18.0, wanted_c=23.0))
    assert found.ice_for_wanted_fraction == pytest.approx(plain.ice_for_wanted_fraction)
    # What is said, made: that part of all the water to weigh as ice gives the wanted mix.
    all_mg = MASSES["water"]
    wanted_mg = round(float(all_mg) * (found.ice_for_wanted_fraction or 0))
    assert plan_temperature(*iced(wanted_mg), Climate(shop_c=30.0, water_c=18.0)).mix_c == pytest.approx(23.0)


def test_as_much_ice_as_the_recipe_has_is_what_its_own_temperature_wants() -> None:
    mix_c = plan_temperature(*iced(400_000), Climate(shop_c=30.0)).mix_c
    found = plan_temperature(*iced(400_000), Climate(shop_c=30.0, wanted_c=mix_c))
    assert found.ice_for_wanted_fraction == pytest.approx(400_000 / float(MASSES["water"]))


def test_less_ice_than_the_recipe_has_warms_its_mix() -> None:
    recipe, masses = iced(700_000)
    own_c = plan_temperature(recipe, masses, Climate(shop_c=30.0)).mix_c
    wanted_c = own_c + 5.0
    found = plan_temperature(recipe, masses, Climate(shop_c=30.0, wanted_c=wanted_c))
    assert found.reached_c == wanted_c
    assert 0 < (found.ice_for_wanted_fraction or 0) < 700_000 / float(MASSES["water"])


def test_ice_the_recipe_has_is_cautioned_like_ice_that_is_asked_for() -> None:
    """A fifth of all the water to weigh is as much as the formula is sure of."""
    water_mg = float(MASSES["water"])
    for share, cautioned in ((0.19, False), (0.21, True)):
        found = plan_temperature(*iced(round(water_mg * share)), Climate(shop_c=40.0))
        assert ("ice-over-sure-share" in codes(found)) is cautioned
