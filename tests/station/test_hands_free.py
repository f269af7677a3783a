"""A steady weight inside its tolerance takes itself, with a bell; nothing else does."""

import pytest

from mixstation.scale.emulator import EmulatedScale
from mixstation.station.bench import Settings
from tests.station.recipes import quick
from tests.station.yard import QUIET, TICK_S, Yard

AFTER_S = 3.0


def at_the_pour(hands_free_s: float = AFTER_S) -> tuple[Yard, EmulatedScale]:
    scale = EmulatedScale(QUIET, seed=1)
    yard = Yard(quick(), scale=scale, settings=Settings(hands_free_s=hands_free_s))
    yard.bucket_on()
    return yard, scale


def poured(yard: Yard, mass: str) -> None:
    """Pour, and stop the clock at the first steady reading."""
    scale = yard.scale
    assert scale is not None
    from mixstation.units.parse import parse_mass_mg

    scale.pour(100_000, total_mg=parse_mass_mg(mass))
    yard.wait(0.5)
    yard.until(lambda view: view.scale.state == "steady" and not scale.is_pouring)


def test_it_takes_itself_once_after_the_set_time_with_one_bell() -> None:
    yard, _ = at_the_pour()
    poured(yard, "208 g")
    bells, steady_ms = yard.view.bells, yard.clock.mono_ms
    yard.until(lambda view: bool(view.went_in), limit_s=10)
    assert (yard.clock.mono_ms - steady_ms) / 1000 == pytest.approx(AFTER_S, abs=3 * TICK_S)
    assert yard.view.bells == bells + 1
    assert yard.weights[0].source == "scale"
    yard.wait(10)
    assert len(yard.weights) == 1
    assert yard.view.bells == bells + 1


def test_nought_is_never() -> None:
    yard, _ = at_the_pour(0)
    poured(yard, "208 g")
    yard.wait(60)
    assert yard.weights == []


@pytest.mark.parametrize("mass", ["195 g", "221 g", "2 g"])
def test_not_while_under_or_over(mass: str) -> None:
    yard, _ = at_the_pour()
    poured(yard, mass)
    yard.wait(20)
    assert yard.weights == []


def test_not_before_anything_is_poured() -> None:
    yard, _ = at_the_pour()
    yard.wait(30)
    assert yard.weights == []
    assert yard.view.bells == 0


@pytest.mark.parametrize("act", ["add-else", "take-back", "trouble", "menu"])
def test_not_while_something_else_is_asked(act: str) -> None:
    yard, _ = at_the_pour()
    poured(yard, "208 g")
    yard.press(act)
    yard.wait(20)
    assert yard.weights == []
    # Back at the pour it waits anew.
    yard.press("back")
    yard.wait(AFTER_S - 0.5)
    assert yard.weights == []
    yard.wait(1.0)
    assert len(yard.weights) == 1


def test_not_in_another_unit_than_the_pour_was_begun_in() -> None:
    yard, scale = at_the_pour()
    poured(yard, "208 g")
    scale.press_unit()
    yard.wait(20)
    assert yard.weights == []


def test_stirring_begins_the_wait_anew() -> None:
    yard, scale = at_the_pour()
    poured(yard, "206 g")
    for _ in range(4):
        yard.wait(AFTER_S - 1)
        scale.put_mg(20_000)
        yard.wait(0.3)
        scale.put_mg(-20_000)
    assert yard.weights == []
    yard.until(lambda view: bool(view.went_in), limit_s=10)


def test_time_asleep_does_not_count() -> None:
    yard, _ = at_the_pour()
    poured(yard, "208 g")
    yard.wait(1.0)
    yard.clock.suspend(3_600)
    yard.wait(0.2)
    assert yard.weights == []


def test_enough_in_is_not_taken_for_a_dose() -> None:
    scale = EmulatedScale(QUIET, seed=1)
    yard = Yard(quick(), scale=scale, settings=Settings(hands_free_s=1.0))
    yard.bucket_on()
    yard.pour("208 g")
    yard.until(lambda view: bool(view.went_in), limit_s=5)
    yard.press("add-else")
    yard.pick("Casting blend")
    yard.press(typed="1 kg")
    assert yard.question.ask == "Enough Casting blend is in."
    scale.pour_at_once(1_000_000)
    yard.wait(20)
    assert len(yard.weights) == 2
    assert yard.question.ask == "Enough Casting blend is in."
    assert not yard.view.notice.startswith("A weight must")
    yard.press()
    assert yard.question.ask.startswith("Mix")
