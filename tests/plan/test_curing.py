"""When a piece may be stripped, sanded and sealed, from its recipe and the temperatures beside it."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.plan.curing import STRIP_H, after_pour, after_pour_of, curing, steady_strip_h
from mixstation.recipe.proportions import whole_totals
from tests.plan.recipes import blend_recipe, raw_recipe


def steady(reading_c: float, hours: int = 72) -> list[tuple[float, float]]:
    return [(float(hour), reading_c) for hour in range(hours + 1)]


def test_at_20_degrees_it_takes_a_day() -> None:
    found = curing(steady(20))
    assert found.strip_h == pytest.approx(24)
    assert found.age_h == pytest.approx((72, 72))
    assert found.maturity_c_h == pytest.approx((72 * 20, 72 * 30))
    assert found.left_h == 0


def test_no_warmth_makes_it_less_than_a_day() -> None:
    assert curing(steady(30)).strip_h == pytest.approx(24)


def test_in_the_cold_the_slowest_measure_decides() -> None:
    """At 10 °C: 24/0.4974 = 48.3 h by one rate, 24/0.5472 = 43.9 by the other, 480/10 = 48, 720/20 = 36."""
    assert curing(steady(10)).strip_h == pytest.approx(48.25, abs=0.05)
    short = curing(steady(10, hours=20))
    assert short.strip_h is None
    assert short.left_h == pytest.approx(48.25 - 20, abs=0.05)


def test_below_freezing_nothing_comes_of_waiting() -> None:
    found = curing(steady(-2, hours=12))
    assert (found.strip_h, found.left_h, found.film_cold) == (None, None, True)


@given(st.lists(st.floats(1, 40), min_size=30, max_size=60))
def test_more_readings_never_make_it_later(temperatures: list[float]) -> None:
    history = [(float(hour), reading_c) for hour, reading_c in enumerate(temperatures)]
    whole, most = curing(history), curing(history[:-1])
    if most.strip_h is not None:
        assert whole.strip_h == pytest.approx(most.strip_h)
    if whole.strip_h is not None:
        assert STRIP_H <= whole.strip_h <= history[-1][0]


@pytest.mark.parametrize("shop_c", [20, 22, 25, 30, 38, 60, 200])
def test_a_warm_shop_strips_no_sooner_than_a_day(shop_c: float) -> None:
    assert steady_strip_h(shop_c) == 24


@pytest.mark.parametrize(
    ("shop_c", "strip_h"), [(19, 26), (14, 35), (10, 49), (8, 60), (4, 120), (0, None), (-15, None)]
)
def test_a_cold_shop_strips_by_the_slowest_measure(shop_c: float, strip_h: int | None) -> None:
    """480 °C·h above 0 °C take 25.3, 34.3, 60 and 120 h; at 10 °C the rate of 0.4974 takes longer, 48.3 h."""
    assert steady_strip_h(shop_c) == strip_h


@given(st.floats(0.5, 40), st.floats(2, 300))
def test_a_steady_shop_and_a_steady_log_say_the_same(shop_c: float, needed_h: float) -> None:
    said_h = steady_strip_h(shop_c, needed_h)
    assert said_h is not None
    logged_h = curing([(0.0, shop_c), (said_h + 1.0, shop_c)], needed_h).strip_h
    assert logged_h is not None
    assert logged_h <= said_h + 1e-6 < logged_h + 1 + 1e-5


@given(st.floats(2, 500), st.booleans(), st.none() | st.floats(12, 2000))
def test_nothing_comes_before_what_has_to_be_done_first(
    strip_h: float, moist: bool, own_seal_h: float | None
) -> None:
    found = after_pour(strip_h, moist=moist, own_seal_h=own_seal_h)
    assert found.strip_h + 1 <= found.sand_h <= found.seal_h
    if own_seal_h is None:
        assert found.good_seal_h is not None
        # Two days at the least and better four, however soon it is stripped, and never upon a moist piece.
        assert found.seal_h >= 48
        assert found.good_seal_h - found.seal_h == pytest.approx(48)
        assert found.moist_h is None or found.seal_h >= found.moist_h + 48
    else:
        assert found.seal_h >= own_seal_h
        assert found.good_seal_h is None
    if moist:
        assert found.moist_h is not None
        assert found.moist_h >= max(168, strip_h)


def test_a_recipe_says_its_own_hours() -> None:
    recipe = raw_recipe()
    content = whole_totals(recipe, 10_000_000)
    usual = after_pour_of(recipe, content, 20.0)
    assert usual is not None
    assert (usual.strip_h, usual.sand_h, usual.seal_h, usual.good_seal_h) == (24, 25, 48, 96)
    slow = replace(recipe, strip_min=36 * 60, seal_min=5 * 24 * 60)
    for shop_c in (20.0, 30.0, None):
        own = after_pour_of(slow, content, shop_c)
        assert own is not None
        assert (own.strip_h, own.sand_h, own.seal_h, own.good_seal_h) == (36, 37, 120, None)
    quick = after_pour_of(replace(recipe, strip_min=6 * 60), content, 10.0)
    assert quick is not None
    # A quarter of the hours that a day's strength takes at 10 °C, 48.25 of them.
    assert (quick.strip_h, quick.seal_h) == (13, 48)
    assert after_pour_of(recipe, content, -1.0) is None


def test_without_a_curing_polymer_it_is_kept_moist_for_a_week() -> None:
    recipe = blend_recipe()
    found = after_pour_of(recipe, whole_totals(recipe, 10_000_000), 20.0)
    assert found is not None
    assert (found.moist_h, found.seal_h, found.good_seal_h) == (168, 216, 264)
