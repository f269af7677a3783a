"""Whether the weight stands still."""

from collections import deque
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mixstation.scale.emulator import EmulatedScale
from mixstation.scale.reading import Motion, Reading
from mixstation.scale.steadiness import Steadiness, steady
from tests.depth import examples
from tests.scale.emulated_link import EmulatedLink

from .conftest import PROFILES, HandClock

D_MG = 1000


def readings(
    masses_mg: list[int | None],
    *,
    motion: Motion = "unsaid",
    interval_s: float = 0.1,
    begin_s: float = 10.0,
) -> list[Reading]:
    return [
        Reading(
            mass_mg=mass_mg,
            unit="kg",
            division_mg=D_MG,
            motion=motion,
            fault=None if mass_mg is not None else "overload",
            at_s=begin_s + index * interval_s,
            serial=index + 1,
            text="",
        )
        for index, mass_mg in enumerate(masses_mg)
    ]


def judged(some: list[Reading], later_s: float = 0.05) -> Steadiness:
    return steady(some, some[-1].at_s + later_s)


def test_before_the_first_reading() -> None:
    assert steady([], 5.0) == Steadiness(state="none", mass_mg=None, spread_mg=0, age_s=0.0, flow_mg_s=0.0)


class TestScaleSaysSteady:
    @pytest.mark.parametrize(
        ("masses_mg", "state"),
        [
            ([5000], "moving"),
            ([5000, 5000], "moving"),
            ([5000, 5000, 5000], "steady"),
            ([5000, 6000, 5000], "steady"),
            ([9000, 5000, 5000, 5000], "steady"),
            ([5000, 5000, 7000], "moving"),
            ([4000, 6000, 5000], "moving"),
        ],
    )
    def test_three_within_a_division(self, masses_mg: list[int | None], state: str) -> None:
        assert judged(readings(masses_mg, motion="steady")).state == state

    def test_one_moving_among_three(self) -> None:
        some = readings([5000] * 4, motion="steady")
        for place in (1, 2, 3):
            mixed = [*some]
            mixed[place] = replace(some[place], motion="moving")
            assert judged(mixed).state == "moving"
        assert judged([replace(some[0], motion="moving"), *some[1:]]).state == "steady"

    def test_pounds_a_division_apart_once_rounded(self) -> None:
        # 2.534 and 2.536 lb are 1 149 403.07 and 1 150 310.25 mg, 0.002 lb is 907.18 mg.
        some = readings([1_149_403, 1_150_311, 1_150_311], motion="steady")
        assert judged([replace(reading, unit="lb", division_mg=907) for reading in some]).state == "steady"


class TestScaleSaysNothing:
    def test_eight_over_long_enough(self) -> None:
        assert judged(readings([5000] * 7)).state == "moving"
        assert judged(readings([5000] * 8)).state == "steady"
        assert judged(readings([5000] * 8, interval_s=0.05)).state == "moving"
        assert judged(readings([5000] * 12, interval_s=0.05)).state == "moving"
        assert judged(readings([5000] * 14, interval_s=0.05)).state == "steady"

    def test_noise_of_a_division_either_way(self) -> None:
        assert judged(readings([5000, 6000, 4000, 5000, 6000, 5000, 4000, 5000])).state == "steady"
        assert judged(readings([5000, 6000, 3000, 5000, 6000, 5000, 4000, 5000])).state == "moving"
        # Two divisions from where it stood is the beginning of a pour as likely as noise.
        assert judged(readings([5000, 5000, 5000, 5000, 5000, 5000, 5000, 7000])).state == "moving"

    def test_a_slow_pour_is_not_noise(self) -> None:
        assert judged(readings([5000, 5000, 5000, 6000, 6000, 6000, 7000, 7000])).state == "moving"

    @given(st.floats(3.0, 500.0), st.floats(0.0, 1.0), st.sampled_from([0.05, 0.1, 0.125]))
    def test_no_pour_above_two_divisions_a_second_is_steady(
        self, flow: float, begin: float, interval_s: float
    ) -> None:
        masses_mg: list[int | None] = [
            round(begin + flow * index * interval_s) * D_MG for index in range(round(2 / interval_s))
        ]
        some = readings(masses_mg, interval_s=interval_s)
        for count in range(1, len(some) + 1):
            assert judged(some[:count]).state == "moving"


class TestStale:
    @pytest.mark.parametrize(
        ("interval_s", "age_s", "state"),
        [
            (0.1, 0.99, "steady"),
            (0.1, 1.01, "stale"),
            (0.5, 1.9, "steady"),
            (0.5, 2.1, "stale"),
            (3.0, 5.1, "stale"),
        ],
    )
    def test_after_a_second_or_four_intervals_at_most_five(
        self, interval_s: float, age_s: float, state: str
    ) -> None:
        assert judged(readings([5000] * 10, interval_s=interval_s), age_s).state == state

    def test_stale_says_no_flow(self) -> None:
        result = judged(readings([1000, 2000, 3000, 4000]), 9.0)
        assert (result.state, result.flow_mg_s, result.age_s) == ("stale", 0.0, 9.0)

    def test_old_readings_do_not_count_after_a_gap(self) -> None:
        before = readings([5000] * 10)
        after = readings([5000] * 5, begin_s=20.0)
        assert judged([*before, *after]).state == "moving"
        assert judged([*before, *readings([5000] * 8, begin_s=20.0)]).state == "steady"


class TestChange:
    @pytest.mark.parametrize("change", [{"unit": "lb"}, {"division_mg": 5000}, {"tare_mark": "net"}])
    @pytest.mark.parametrize(("motion", "needed"), [("steady", 3), ("unsaid", 8)])
    def test_a_change_begins_anew(self, change: dict[str, str], motion: Motion, needed: int) -> None:
        some = readings([5000] * 20, motion=motion)
        for count in range(1, needed + 1):
            mixed = [*some[:-count], *(replace(reading, **change) for reading in some[-count:])]  # type: ignore[arg-type]
            assert judged(mixed).state == ("steady" if count == needed else "moving")

    def test_a_fault_has_no_weight_and_begins_anew(self) -> None:
        some = readings([5000, 5000, 5000, None], motion="steady")
        assert (judged(some).state, judged(some).mass_mg) == ("fault", None)
        assert judged(readings([5000, 5000, None, 5000, 5000], motion="steady")).state == "moving"


class TestFlow:
    @given(st.lists(st.integers(-50_000, 50_000), min_size=3, max_size=8), st.integers(-(10**8), 10**8))
    def test_slope_is_numpys(self, steps: list[int], offset_mg: int) -> None:
        # Outside check: numpy.polyfit, an independent least-squares fit.
        masses_mg: list[int | None] = [offset_mg + step for step in steps]
        some = readings(masses_mg)
        times = np.array([reading.at_s for reading in some]) - 10.0
        slope = np.polyfit(times, np.array(steps, dtype=float), 1)[0]
        assert judged(some).flow_mg_s == pytest.approx(slope, rel=1e-6, abs=1e-3)

    def test_only_the_last_moments_count(self) -> None:
        result = judged(readings([0, 50_000, 100_000, *[150_000] * 10]))
        assert result.flow_mg_s == 0.0

    def test_two_readings_tell_no_flow(self) -> None:
        assert judged(readings([0, 50_000])).flow_mg_s == 0.0


@settings(max_examples=examples(25))
@given(
    st.sampled_from(["header-token-line", "value-unit-line"]),
    st.lists(
        st.tuples(st.integers(5_000, 500_000), st.integers(1, 3_000_000), st.integers(0, 60)), max_size=4
    ),
    st.integers(0, 1000),
)
def test_a_steady_weight_was_true_a_moment_ago(
    name: str, pours: list[tuple[int, int, int]], seed: int
) -> None:
    clock = HandClock()
    scale = EmulatedScale(seed=seed)
    scale.put_mg(650_000)
    link = EmulatedLink(scale, PROFILES[name], clock, rate_hz=20)
    link.start()
    loads_mg: deque[int] = deque(maxlen=20)

    def watch(count: int) -> bool:
        found = False
        for _ in range(count):
            clock.now_s += 0.05
            result = steady(link.recent(), clock.now_s)
            loads_mg.append(scale.load_mg)
            if result.state == "steady":
                found = True
                assert result.mass_mg is not None
                assert min(abs(result.mass_mg - load_mg) for load_mg in loads_mg) <= 2 * D_MG
        return found

    watch(40)
    for rate_mg_s, total_mg, pause in pours:
        scale.pour(rate_mg_s, total_mg=total_mg)
        watch(20 + pause)
        scale.stop_pour()
        watch(pause)
    assert watch(60)


def test_readings_that_came_at_once_are_no_evidence() -> None:
    assert judged(readings([5000] * 20, interval_s=0.0)).state == "moving"
