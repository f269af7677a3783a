"""The emulated scale: physics, keys, and its account."""

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mixstation.scale.emulator import Display, EmulatedScale, Make
from mixstation.scale.fields import Shown
from tests.depth import examples

QUIET = Make(noise_mg=0.0)


def shown(scale: EmulatedScale) -> Shown:
    result = scale.shown()
    assert result is not None
    return result


def shown_mg(scale: EmulatedScale) -> int | None:
    result = shown(scale)
    assert result.unit == "kg"
    return None if result.count is None else result.count * 10 ** (6 - result.decimals)


def settled(make: Make = QUIET) -> EmulatedScale:
    scale = EmulatedScale(make)
    scale.put_mg(650_000)
    scale.advance(5)
    return scale


def test_settles_to_what_stands_on_it() -> None:
    scale = EmulatedScale(QUIET)
    scale.put_mg(1_234_500)
    scale.advance(0.1)
    assert 0 < (shown_mg(scale) or 0) < 1_234_000
    assert shown(scale).motion == "moving"
    scale.advance(3)
    # Halfway between two steps either may show.
    assert shown_mg(scale) in (1_234_000, 1_235_000)
    assert shown(scale).motion == "steady"


def test_first_order_lag() -> None:
    # Step response of a first-order system: 1 - exp(-1) = 63.2 % after one time constant. Source: Definition.
    scale = EmulatedScale(Make(noise_mg=0.0, lag_s=0.5))
    scale.put_mg(10_000_000)
    scale.advance(0.5)
    assert shown_mg(scale) == pytest.approx(6_321_000, abs=1000)


def test_same_seed_shows_the_same_however_time_is_cut() -> None:
    def run(seed: int, step_s: float) -> list[Shown]:
        scale = EmulatedScale(seed=seed)
        scale.put_mg(650_000)
        scale.pour(80_000, total_mg=300_000)
        seen = []
        for _ in range(40):
            for _ in range(round(0.1 / step_s)):
                scale.advance(step_s)
            seen.append(shown(scale))
        return seen

    assert run(1, 0.1) == run(1, 0.02) == run(1, 0.005)
    assert run(1, 0.1) != run(2, 0.1)


class TestPouring:
    @settings(max_examples=examples(30))
    @given(st.integers(1, 500_000), st.integers(0, 2_000_000), st.floats(0.01, 3.0))
    def test_account_is_exact(self, rate_mg_s: int, total_mg: int, hold_s: float) -> None:
        scale = settled()
        before_mg = scale.load_mg
        scale.pour(rate_mg_s, total_mg=total_mg)
        scale.advance(hold_s)
        scale.stop_pour()
        scale.advance(1)
        (pour,) = scale.poured
        assert 0 <= pour.mass_mg <= total_mg
        assert pour.mass_mg <= rate_mg_s * hold_s + 1
        assert scale.load_mg - before_mg == pour.mass_mg

    def test_total_ends_it(self) -> None:
        scale = settled()
        scale.pour(100_000, total_mg=250_000)
        scale.advance(2)
        assert scale.is_pouring
        scale.advance(1)
        assert not scale.is_pouring
        assert [pour.mass_mg for pour in scale.poured] == [250_000]

    def test_seconds_end_it(self) -> None:
        scale = settled()
        scale.pour(33_333, seconds=1.5)
        scale.advance(5)
        assert [pour.mass_mg for pour in scale.poured] == [50_000]

    def test_what_is_in_the_air_still_lands(self) -> None:
        scale = settled()
        scale.pour(100_000)
        scale.advance(1)
        scale.stop_pour()
        # 0.2 s of fall at 100 g/s: 20 g have left the hand and are not yet down.
        assert scale.load_mg == 650_000 + 80_000
        scale.advance(0.2)
        assert scale.load_mg == 650_000 + 100_000

    def test_a_second_pour_ends_the_first(self) -> None:
        scale = settled()
        scale.pour(100_000)
        scale.advance(1)
        scale.pour(10_000, total_mg=10_000)
        scale.advance(3)
        assert [(pour.at_s, pour.mass_mg) for pour in scale.poured] == [(5.0, 100_000), (6.0, 10_000)]

    def test_out_of_it(self) -> None:
        scale = settled()
        scale.pour(-100_000, total_mg=200_000)
        scale.pour_at_once(-50_000)
        scale.advance(3)
        assert sum(pour.mass_mg for pour in scale.poured) == scale.load_mg - 650_000 == -50_000

    def test_into_a_lifted_bucket(self) -> None:
        scale = settled()
        scale.lift()
        scale.pour_at_once(200_000)
        scale.advance(3)
        assert shown_mg(scale) == 0
        scale.place()
        scale.advance(3)
        assert shown_mg(scale) == 850_000


class TestKeys:
    def test_zero(self) -> None:
        scale = settled()
        scale.press_zero()
        scale.advance(1)
        assert (shown_mg(scale), shown(scale).tare_mark) == (0, "gross")
        scale.lift()
        scale.advance(3)
        assert shown_mg(scale) == -650_000

    def test_tare(self) -> None:
        scale = settled()
        scale.press_tare()
        scale.pour_at_once(120_000)
        scale.advance(3)
        assert (shown_mg(scale), shown(scale).tare_mark) == (120_000, "net")
        scale.press_zero()
        assert shown(scale).tare_mark == "gross"

    def test_unit(self) -> None:
        scale = settled()
        scale.press_unit()
        # 0.650 kg is 1.433 lb (NIST SP 811: 1 lb = 0.453 592 37 kg), shown in steps of 0.002.
        assert (shown(scale).count, shown(scale).decimals, shown(scale).unit) == (1434, 3, "lb")
        scale.press_unit()
        assert shown(scale).unit == "kg"

    def test_division(self) -> None:
        scale = settled()
        scale.change_division(2, 5)
        assert (shown(scale).count, shown(scale).decimals) == (65, 2)
        scale.put_mg(20_000)
        scale.advance(3)
        assert shown(scale).count == 65

    def test_auto_off_and_on(self) -> None:
        scale = settled(Make(noise_mg=0.0, auto_off_s=30.0))
        scale.advance(24)
        assert scale.shown() is not None
        scale.pour_at_once(5000)
        scale.advance(29)
        assert scale.shown() is not None
        scale.advance(3)
        assert scale.shown() is None
        scale.press_on()
        scale.advance(1)
        # What stands on it when it is switched on is its zero.
        assert shown_mg(scale) == 0


class TestFaults:
    @pytest.mark.parametrize(
        ("load_mg", "fault"),
        [
            (30_000_000, None),
            (30_008_000, None),
            (30_011_000, "overload"),
            (-19_000, None),
            (-25_000, "underload"),
        ],
    )
    def test_over_and_under(self, load_mg: int, fault: str | None) -> None:
        # OIML R 76-1, 4.2.3: nothing shown above the capacity + 9 e.
        scale = EmulatedScale(QUIET)
        scale.put_mg(load_mg)
        scale.advance(5)
        assert shown(scale).fault == fault
        assert (shown(scale).count is None) == (fault is not None)

    def test_frozen(self) -> None:
        scale = settled()
        scale.freeze()
        scale.pour_at_once(500_000)
        scale.advance(5)
        assert shown_mg(scale) == 650_000
        scale.thaw()
        assert shown_mg(scale) == 1_150_000

    def test_noise_and_shaking(self) -> None:
        def counts(prepare: Callable[[EmulatedScale], None]) -> set[int | None]:
            scale = settled(Make(noise_mg=300.0))
            prepare(scale)
            found = set()
            for _ in range(200):
                scale.advance(0.1)
                found.add(shown(scale).count)
            return found

        assert len(counts(lambda _: None)) <= 4
        assert len(counts(lambda scale: scale.shake(20))) > 10

    def test_drift(self) -> None:
        scale = settled(Make(noise_mg=0.0, drift_mg_s=100.0))
        scale.advance(95)
        assert shown_mg(scale) == 660_000

    def test_zero_tracking_swallows_drift_and_a_slow_pour(self) -> None:
        scale = EmulatedScale(Make(noise_mg=0.0, drift_mg_s=100.0, tracks_zero=True))
        scale.advance(100)
        assert shown_mg(scale) == 0
        scale.pour(200, total_mg=2000)
        scale.advance(30)
        assert (shown_mg(scale), scale.load_mg) == (0, 2000)


def test_division_is_exact() -> None:
    assert Display(unit="lb", decimals=2, step=5).division_mg == Fraction(45_359_237, 2000)
