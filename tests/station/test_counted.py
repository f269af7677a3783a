"""A scale that goes away in mid-pour: what it had counted stays counted, the rest is asked for, and nothing twice."""

import pytest

from mixstation.batch.events import Weighing
from mixstation.scale.emulator import EmulatedScale
from tests.station.recipes import quick
from tests.station.yard import BUCKET_MG, QUIET, Yard

GRAM = 1_000
TARGET_MG, POURED_MG = 208_000, 130_000
SUPPLY_MG = 3_000_000


def cut_off(weighing: Weighing = "bucket", poured_mg: int = POURED_MG) -> tuple[Yard, EmulatedScale]:
    """208 g of water are asked for and some is in when the cable comes out."""
    scale = EmulatedScale(QUIET, seed=1)
    yard = Yard(quick(), scale=scale, weighing=weighing)
    yard.put_gear_on()
    yard.wait(1.0)
    scale.put_mg({"bucket": BUCKET_MG, "tub": 200_000, "supply": SUPPLY_MG}[weighing])
    yard.until(lambda view: view.scale.state == "steady" and view.scale.text != "0 g")
    yard.press()
    scale.pour(-40_000 if weighing == "supply" else 40_000, total_mg=poured_mg)
    yard.wait(8.0)
    scale.unplug()
    yard.wait(4.0)
    return yard, scale


@pytest.mark.parametrize("weighing", ["bucket", "tub", "supply"])
def test_the_rest_is_asked_for_in_words_and_in_the_large_figure(weighing: Weighing) -> None:
    yard, _ = cut_off(weighing)
    assert yard.question.ask == "Weigh 78 g more of Water elsewhere, add it, type that."
    assert yard.question.detail[0] == "130 g is counted: the scale showed it before it went."
    figure = yard.view.figure
    assert figure is not None
    assert (figure.number, figure.unit_word) == ("78", "grams")
    assert yard.view.pour is not None
    assert yard.view.pour.actual == "130 g counted"
    assert not any("208" in line for line in (yard.question.ask, *yard.question.detail))
    yard.press()
    assert yard.weights == []


@pytest.mark.parametrize("weighing", ["bucket", "tub", "supply"])
@pytest.mark.parametrize("typed", ["78", "78 g", "0.078 kg"])
def test_what_is_typed_is_added_to_what_was_counted(weighing: Weighing, typed: str) -> None:
    yard, _ = cut_off(weighing)
    yard.press(typed=typed)
    (weight,) = yard.weights
    assert weight.mass_mg == pytest.approx(TARGET_MG, abs=GRAM)
    assert (weight.source, weight.shown) == ("typed", f"130 g + {typed}")
    assert yard.run.content["water"] == weight.mass_mg


@pytest.mark.parametrize(("pick", "in_mg"), [("1", TARGET_MG), ("2", POURED_MG + TARGET_MG)])
def test_what_may_be_all_of_it_is_asked_about(pick: str, in_mg: int) -> None:
    yard, _ = cut_off()
    yard.press(typed="208")
    assert yard.question.ask == "Is that all of it together, or what you added?"
    assert yard.weights == []
    yard.press(typed=pick)
    if pick == "2":
        # Far more than is asked for is asked about all the same.
        assert yard.weights == []
        yard.press()
    assert [weight.mass_mg for weight in yard.weights] == [pytest.approx(in_mg, abs=GRAM)]


def test_part_of_the_rest_leaves_the_rest_of_it() -> None:
    yard, _ = cut_off(poured_mg=80_000)
    yard.press(typed="100")
    assert yard.run.content["water"] == pytest.approx(180_000, abs=GRAM)
    assert yard.question.ask == "On another scale: weigh 28 g of Water, add it, type what went in."
    yard.press(typed="28")
    assert yard.run.content["water"] == pytest.approx(TARGET_MG, abs=GRAM)


def test_enough_counted_is_taken_with_enter() -> None:
    yard, _ = cut_off(poured_mg=209_000)
    assert yard.question.ask == "209 g is counted: enough. Add no more."
    yard.press()
    assert [weight.mass_mg for weight in yard.weights] == [pytest.approx(209_000, abs=GRAM)]


def test_after_kill_and_resume_without_the_scale_it_is_still_counted() -> None:
    yard, _ = cut_off()
    yard.come_back()
    yard.wait(3.0)
    assert "78 g more of Water" in yard.question.ask
    yard.press(typed="78")
    assert yard.run.content["water"] == pytest.approx(TARGET_MG, abs=GRAM)


def test_plugged_in_again_the_scale_counts_and_nothing_is_added_to_it() -> None:
    yard, scale = cut_off()
    scale.pour_at_once(78_000)
    scale.replug()
    yard.wait(4.0)
    assert yard.question.ask == "Pour 208 g of Water into the bucket."
    yard.press()
    assert [weight.mass_mg for weight in yard.weights] == [pytest.approx(TARGET_MG, abs=GRAM)]
    assert yard.run.content["water"] == pytest.approx(TARGET_MG, abs=GRAM)


def test_lines_that_cannot_be_read_are_said_to_be_that_and_the_rest_is_asked_for() -> None:
    yard, scale = cut_off()
    scale.replug()
    yard.wait(2.0)
    scale.garble()
    yard.wait(4.0)
    assert yard.view.scale.state == "lines unreadable"
    assert "scale-unreadable" in yard.flags
    assert not any("silent" in flag.sentence or "mend the cable" in flag.sentence for flag in yard.view.flags)
    assert any("speed and profile" in flag.sentence for flag in yard.view.flags)
    assert "78 g more of Water" in yard.question.ask
    scale.clear()
    yard.wait(3.0)
    assert yard.view.scale.state == "steady"
    assert not any(flag.word for flag in yard.view.flags if "nreadable" in flag.sentence)
