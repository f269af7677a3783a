"""A scale that is to be there and is not heard: the words wait for it, or say that another is meant."""

from mixstation.scale.emulator import EmulatedScale
from tests.station.recipes import quick
from tests.station.yard import QUIET, Yard

TYPED = "weigh 208 g of Water, add it, type what went in."


def test_before_the_scale_is_first_heard_the_words_wait_for_it() -> None:
    yard = Yard(quick(), scale=EmulatedScale(QUIET, seed=1))
    yard.put_gear_on()
    assert yard.question.ask == "Wait for the scale: it is not heard yet."
    assert yard.question.detail[0] == f"Or on another scale: {TYPED}"
    yard.wait(1.0)
    assert yard.question.ask.startswith("Put the bucket on the scale")


def test_what_is_weighed_on_another_scale_meanwhile_is_typed() -> None:
    yard = Yard(quick(), scale=EmulatedScale(QUIET, seed=1))
    yard.put_gear_on()
    yard.press(typed="208")
    assert [weight.mass_mg for weight in yard.weights] == [208_000]


def test_with_the_cable_out_before_a_pour_another_scale_is_meant() -> None:
    scale = EmulatedScale(QUIET, seed=1)
    yard = Yard(quick(), scale=scale)
    yard.put_gear_on()
    yard.wait(1.0)
    scale.unplug()
    yard.wait(3.0)
    assert yard.question.ask == f"On another scale: {TYPED}"
    assert yard.question.detail[0] == "This one is not heard: check its cable and switch."
    scale.replug()
    yard.wait(3.0)
    assert yard.question.ask.startswith("Put the bucket on the scale")


def test_a_scale_that_was_out_when_the_program_came_back_is_waited_for() -> None:
    scale = EmulatedScale(QUIET, seed=1)
    yard = Yard(quick(), scale=scale)
    yard.bucket_on()
    scale.unplug()
    yard.come_back()
    yard.wait(4.0)
    assert yard.question.ask == "Wait for the scale: it is not heard yet."
    assert any("begun on the scale before the cut" in line for line in yard.question.detail)


def test_without_a_scale_nothing_is_said_of_one() -> None:
    yard = Yard(quick())
    yard.put_gear_on()
    assert yard.question.ask == f"W{TYPED[1:]}"
    assert not any("scale" in line for line in yard.question.detail)
