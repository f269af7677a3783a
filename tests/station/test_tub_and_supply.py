"""A tub that is filled, tipped in and weighed back; a supply that is taken from."""

import pytest

from mixstation.batch.events import TubFilled, WayTaken
from mixstation.batch.refusal import Plain
from mixstation.scale.emulator import EmulatedScale
from mixstation.station.bench import Settings
from mixstation.units.parse import parse_mass_mg
from mixstation.wording.refusal_lines import refusal_line
from tests.station.mixer import Hand, answer_now, mix
from tests.station.recipes import split
from tests.station.yard import QUIET, TICK_S, Yard

GRAM = 1_000
TUB_MG = 310_000
ON_THE_WALL_MG = 9_000


def yard_with_tub(settings: Settings | None = None) -> tuple[Yard, EmulatedScale]:
    scale = EmulatedScale(QUIET, seed=1)
    yard = Yard(split(), scale=scale, weighing="tub", settings=settings)
    yard.put_gear_on()
    yard.until(lambda view: view.scale.state == "steady")
    return yard, scale


def empty_tub_on(yard: Yard, scale: EmulatedScale) -> None:
    assert yard.question.enter == "tub is on"
    scale.put_mg(TUB_MG)
    yard.wait(2.0)
    yard.until(lambda view: view.scale.state == "steady")
    yard.press()
    assert yard.question.enter == "tub is full"


def tipped_and_back(yard: Yard, scale: EmulatedScale, stuck_mg: int) -> None:
    """Lift the tub, tip it into the bucket, put it back with what stuck to it."""
    scale.put_mg(-scale.load_mg)
    yard.wait(2.0)
    scale.put_mg(TUB_MG + stuck_mg)
    yard.wait(2.0)
    yard.until(lambda view: view.scale.state == "steady")


def says(yard: Yard, code: str) -> bool:
    return yard.view.notice == refusal_line(yard.run, Plain(code), yard.session._work.scene.speech)


def test_what_sticks_to_the_tub_is_weighed_back_and_taken_off() -> None:
    yard, scale = yard_with_tub()
    empty_tub_on(yard, scale)
    yard.pour("262 g")
    yard.press()
    assert yard.question.ask.startswith("Tip the 262 g of Water in.")
    assert yard.weights == []
    tipped_and_back(yard, scale, ON_THE_WALL_MG)
    yard.press()
    weight = yard.weights[0]
    assert weight.mass_mg == pytest.approx(253_000, abs=2 * GRAM)
    assert weight.residue_mg == pytest.approx(ON_THE_WALL_MG, abs=GRAM)
    assert (weight.source, weight.weighing) == ("scale", "tub")
    assert "tub-not-weighed-back" not in yard.flags


def test_what_stuck_is_asked_for_again() -> None:
    yard, scale = yard_with_tub()
    empty_tub_on(yard, scale)
    yard.pour("262 g")
    yard.press()
    tipped_and_back(yard, scale, ON_THE_WALL_MG)
    yard.press()
    # 253 of 260 g: 7 g are still to go, from the tub that is on the scale with its residue.
    assert "still to go" in yard.view.notice
    scale.put_mg(-ON_THE_WALL_MG)
    yard.wait(2.0)
    yard.until(lambda view: view.scale.state == "steady")
    yard.press()
    yard.pour("7 g")
    yard.press()
    tipped_and_back(yard, scale, 0)
    yard.press()
    assert yard.run.content["water"] == pytest.approx(260_000, abs=3 * GRAM)
    assert yard.question.ask.endswith("tub for the Casting blend on the scale.")


def test_a_tub_still_full_is_not_tipped() -> None:
    yard, scale = yard_with_tub()
    empty_tub_on(yard, scale)
    yard.pour("260 g")
    yard.press()
    yard.press()
    assert says(yard, "tub-still-full")
    assert yard.weights == []
    scale.lift()
    yard.until(lambda view: view.scale.text == "0 g" and view.scale.state == "steady")
    yard.press()
    assert says(yard, "tub-not-on")
    assert yard.weights == []


def test_a_tub_not_weighed_back_is_typed_and_said_so() -> None:
    yard, scale = yard_with_tub()
    empty_tub_on(yard, scale)
    yard.pour("260 g")
    yard.press()
    yard.press(typed="258 g")
    assert [(weight.mass_mg, weight.source) for weight in yard.weights] == [(258_000, "typed")]
    assert "tub-not-weighed-back" in yard.flags


def filled(grams: int = 262, tub_mg: int = TUB_MG) -> Yard:
    """A tub filled on the scale and tipped in; nothing is back on the scale yet."""
    yard, scale = yard_with_tub()
    scale.put_mg(tub_mg - TUB_MG)
    empty_tub_on(yard, scale)
    yard.pour(f"{grams} g")
    yard.press()
    assert yard.question.ask.startswith(f"Tip the {grams} g of Water in.")
    return yard


def lines(yard: Yard) -> list[str]:
    return [choice.words for choice in yard.question.choices]


def test_the_question_says_what_a_number_typed_at_the_tipping_is() -> None:
    assert any(line.endswith("type what went in.") for line in filled().question.detail)


@pytest.mark.parametrize(
    ("typed", "line", "in_mg", "stuck_mg"),
    [
        ("318", "the tub, weighed back: 254 g went in", 254_000, 8_000),
        ("318 g", "the tub, weighed back: 254 g went in", 254_000, 8_000),
        ("0.318 kg", "the tub, weighed back: 254 g went in", 254_000, 8_000),
        ("309", "the tub, weighed back: 263 g went in", 263_000, -1_000),
        ("9", "what stuck to the tub: 253 g went in", 253_000, 9_000),
        ("0", "what stuck to the tub: 262 g went in", 262_000, 0),
    ],
)
def test_a_number_that_is_hardly_what_went_in_is_asked_about(
    typed: str, line: str, in_mg: int, stuck_mg: int
) -> None:
    yard = filled()
    yard.press(typed=typed)
    assert yard.weights == []
    assert yard.question.ask.endswith("The tub was filled with 262 g.")
    yard.pick(line)
    (weight,) = yard.weights
    assert (weight.mass_mg, weight.residue_mg) == (
        pytest.approx(in_mg, abs=GRAM),
        pytest.approx(stuck_mg, abs=GRAM),
    )
    assert (weight.source, weight.weighing, weight.shown) == ("typed", "tub", typed)
    assert "tub-not-weighed-back" not in yard.flags


def test_a_number_that_can_be_both_the_tub_and_what_went_in_is_asked_about() -> None:
    yard = filled(tub_mg=240_000)
    yard.press(typed="258 g")
    assert lines(yard) == ["the tub, weighed back: 244 g went in", "what went in: 258 g"]
    yard.pick("what went in")
    assert [(weight.mass_mg, weight.residue_mg) for weight in yard.weights] == [(258_000, None)]


def test_grams_read_off_under_kilograms_are_the_tub_all_the_same() -> None:
    yard, scale = yard_with_tub()
    yard.press(typed="260 g")
    empty_tub_on(yard, scale)
    yard.pour("2.010 kg")
    yard.press()
    assert yard.question.unit_word == "kilograms"
    yard.press(typed="330")
    assert lines(yard)[0] == "the tub, weighed back: 1.990 kg went in"


def test_more_than_was_filled_is_asked_about_and_believed_on_a_yes() -> None:
    yard = filled()
    yard.press(typed="290 g")
    assert yard.weights == []
    assert lines(yard) == ["the tub, weighed back: 282 g went in", "what went in: 290 g"]
    yard.pick("what went in")
    assert yard.question.ask == "290 g is more than the 262 g the tub was filled with."
    yard.press()
    assert [weight.mass_mg for weight in yard.weights] == [290_000]


def test_a_tub_filled_before_the_scale_was_lost_is_tipped_and_not_weighed_again() -> None:
    yard = filled()
    yard.scale = None
    yard.come_back()
    assert yard.question.ask == "Tip the 262 g of Water in; type what went in."
    yard.press(typed="257 g")
    assert [weight.mass_mg for weight in yard.weights] == [257_000]


def test_a_weight_typed_without_ever_filling_a_tub_needs_no_weighing_back() -> None:
    yard, _ = yard_with_tub()
    yard.press(typed="260 g")
    assert yard.weights[0].weighing is None
    assert "tub-not-weighed-back" not in yard.flags


def test_a_full_tub_takes_itself_and_tipping_it_never_does() -> None:
    yard, scale = yard_with_tub(Settings(hands_free_s=1.0))
    empty_tub_on(yard, scale)
    yard.pour("260 g")
    yard.until(lambda view: view.bells == 1, limit_s=5)
    assert isinstance(yard.facts[-1], TubFilled)
    yard.wait(10.0)
    assert yard.weights == []
    tipped_and_back(yard, scale, 2_000)
    yard.wait(10.0)
    assert yard.weights == []


def test_a_whole_batch_by_the_tub_is_what_left_the_tub() -> None:
    yard, scale = yard_with_tub()
    tipped_mg = 0
    for _ in range(2_000):
        view = yard.view
        enter, fresh = view.question.enter, view.scale.state == "steady"
        if enter == "tub is on" and fresh:
            empty_tub_on(yard, scale)
        elif enter == "tub is full" and view.pour is not None:
            yard.pour(view.pour.target)
            yard.press()
        elif enter == "tub is back":
            full_mg = scale.load_mg - TUB_MG
            tipped_mg += full_mg - full_mg // 200
            tipped_and_back(yard, scale, full_mg // 200)
            yard.press()
            scale.put_mg(-scale.load_mg)
            yard.wait(2.0)
        elif enter == "vessel is on" and view.pour is not None:
            yard.press(typed=view.pour.target)
        elif view.question.entry != "mass" and (answer := answer_now(view)) is not None:
            yard.session.answer(answer)
        if view.ended:
            break
        yard.wait(TICK_S)
    assert yard.run.ended == "finished"
    weighed_mg = sum(weight.mass_mg for weight in yard.weights)
    assert weighed_mg == pytest.approx(tipped_mg, abs=len(yard.weights) * 2 * GRAM)
    assert yard.flags == set()


@pytest.mark.parametrize("old_mg", [14_000, 40_000])
def test_a_tub_that_comes_back_lighter_is_asked_about_and_all_that_left_it_is_booked(old_mg: int) -> None:
    yard, scale = yard_with_tub()
    empty_tub_on(yard, scale)
    yard.pour("240 g")
    yard.press()
    tipped_and_back(yard, scale, -old_mg)
    yard.press()
    assert yard.weights == []
    assert yard.question.ask == (
        f"The tub is {old_mg // GRAM} g lighter than before. Then {(240_000 + old_mg) // GRAM} g went in."
    )
    yard.pick("old residue came out with it")
    (weight,) = yard.weights
    assert weight.mass_mg == pytest.approx(240_000 + old_mg, abs=2 * GRAM)
    assert weight.residue_mg == pytest.approx(-old_mg, abs=GRAM)


def test_a_tub_a_little_lighter_is_booked_to_the_gram() -> None:
    yard, scale = yard_with_tub()
    empty_tub_on(yard, scale)
    yard.pour("256 g")
    yard.press()
    tipped_and_back(yard, scale, -3_000)
    yard.press()
    assert [weight.mass_mg for weight in yard.weights] == [pytest.approx(259_000, abs=GRAM)]


def test_a_lighter_tub_that_is_another_is_not_booked() -> None:
    yard, scale = yard_with_tub()
    empty_tub_on(yard, scale)
    yard.pour("240 g")
    yard.press()
    tipped_and_back(yard, scale, -30_000)
    yard.press()
    yard.pick("that is not the tub")
    assert yard.weights == []
    assert yard.question.enter == "tub is back"


def test_the_lighter_tub_typed_is_asked_about_too() -> None:
    yard = filled(240)
    yard.press(typed="290 g")
    yard.pick("the tub, weighed back: 260 g went in")
    assert yard.weights == []
    yard.pick("old residue came out with it")
    assert [weight.mass_mg for weight in yard.weights] == [pytest.approx(260_000, abs=GRAM)]


def test_a_full_tub_waits_while_another_step_is_done_and_through_a_kill() -> None:
    yard = filled()
    yard.press("menu")
    yard.pick("do another step first")
    yard.pick("scrape")
    assert yard.question.enter == "scraped"
    yard.come_back()
    yard.wait(3.0)
    yard.press()
    assert yard.question.ask.startswith("Tip the 262 g of Water in.")
    assert yard.scale is not None
    tipped_and_back(yard, yard.scale, 0)
    yard.press()
    assert [weight.mass_mg for weight in yard.weights] == [pytest.approx(262_000, abs=GRAM)]


def fills_another_first(yard: Yard) -> None:
    """With a full tub beside the scale the next step is brought forward and an empty tub put on."""
    assert yard.scale is not None
    yard.press("menu")
    yard.pick("do another step first")
    yard.pick("Casting blend")
    yard.scale.put_mg(TUB_MG - yard.scale.load_mg)
    yard.wait(3.0)
    yard.press()
    assert yard.question.ask == "A tub with 262 g of Water is not tipped in yet."


def test_two_tubs_may_be_full_and_each_goes_in_for_its_own_step() -> None:
    yard = filled()
    fills_another_first(yard)
    yard.pick("this is another tub")
    assert yard.view.pour is not None
    yard.pour(yard.view.pour.target)
    yard.press()
    assert yard.scale is not None
    tipped_and_back(yard, yard.scale, 0)
    yard.press()
    assert yard.run.content["blend"] > 900_000
    assert yard.question.ask.startswith("Tip the 262 g of Water in.")
    tipped_and_back(yard, yard.scale, 2_000)
    yard.press()
    assert yard.run.content["water"] == pytest.approx(260_000, abs=2 * GRAM)


def test_the_one_tub_emptied_out_for_another_step_is_full_no_more() -> None:
    yard = filled()
    fills_another_first(yard)
    yard.pick("this is that tub")
    assert yard.question.enter == "tub is full"
    assert yard.view.pour is not None
    yard.pour(yard.view.pour.target)
    yard.press()
    assert yard.scale is not None
    tipped_and_back(yard, yard.scale, 0)
    yard.press()
    assert yard.run.content["water"] == 0
    assert yard.question.ask == "Put the empty tub for the Water on the scale."


def test_a_full_tub_outlasts_a_way_and_an_addition_beside() -> None:
    yard = filled()
    yard.press("add-else")
    yard.pick("Casting blend")
    yard.press(typed="500 g")
    assert yard.run.tub is not None
    yard.session._work.keep(
        WayTaken(
            way="leave",
            aim=yard.run.aim,
            pour_back_mg=0,
            scoop_mg=0,
            make_up=(),
            mix_s=0,
            gives_up=(),
            said="leave it",
        )
    )
    assert yard.run.tub is not None
    assert yard.run.tub.mass_mg == pytest.approx(262_000, abs=GRAM)
    assert yard.question.ask.startswith("Tip the 262 g of Water in.")
    assert yard.scale is not None
    tipped_and_back(yard, yard.scale, 9_000)
    yard.press()
    assert yard.run.content["water"] == pytest.approx(253_000, abs=2 * GRAM)


def test_a_full_tub_is_not_left_to_itself_unseen() -> None:
    yard = filled()
    yard.press("menu")
    yard.pick("leave this step out")
    yard.press(typed="1")
    assert says(yard, "tub-holds")
    assert yard.run.tub is not None
    # Emptied by a deed: the filling is taken back.
    yard.press("back")
    yard.press("take-back")
    yard.pick("tub filled, 262 g")
    yard.press(typed="1")
    assert yard.run.tub is None
    assert yard.question.enter == "tub is full"


def test_a_supply_is_taken_from_to_the_division() -> None:
    scale = EmulatedScale(QUIET, seed=2)
    yard = Yard(split(), scale=scale, weighing="supply")
    yard.put_gear_on()
    scale.put_mg(9_000_000)
    yard.until(lambda view: view.scale.state == "steady")
    assert yard.question.ask == "Put the Water supply on the scale."
    hand = Hand(scale)
    mix(yard, hand=hand, until=lambda view: "Casting blend" in view.question.ask)
    assert yard.weights[0].mass_mg == pytest.approx(-hand.poured_mg("Water"), abs=GRAM + 100)
    assert yard.weights[0].weighing == "supply"
    # The next supply has its own start reading; the last one is not believed for it.
    yard.wait(5.0)
    assert yard.question.enter == "supply is on"
    assert yard.view.pour is not None
    assert yard.view.pour.fraction is None
    scale.put_mg(12_000_000)
    yard.until(lambda view: view.scale.state == "steady" and parse_mass_mg(view.scale.text) > 20_000_000)
    mix(yard, hand=hand, until=lambda view: bool(view.went_in) and len(view.went_in) == 2)
    assert yard.weights[1].mass_mg == pytest.approx(-hand.poured_mg("Casting blend"), abs=GRAM + 100)


@pytest.mark.parametrize("supply_mg", [264_000, 9_000_000])
def test_a_supply_that_is_taken_off_is_no_dose(supply_mg: int) -> None:
    """However well its whole weight fits what is asked for."""
    scale = EmulatedScale(QUIET, seed=3)
    yard = Yard(split(), scale=scale, weighing="supply", settings=Settings(hands_free_s=1.0))
    yard.put_gear_on()
    scale.put_mg(supply_mg)
    yard.until(lambda view: view.scale.state == "steady")
    yard.press()
    scale.put_mg(-supply_mg)
    yard.wait(5.0)
    assert yard.question.ask == "Put the supply back on the scale."
    yard.press()
    assert yard.weights == []


def test_a_dose_that_was_begun_is_not_asked_for_whole_while_the_supply_is_off() -> None:
    scale = EmulatedScale(QUIET, seed=3)
    yard = Yard(split(), scale=scale, weighing="supply")
    yard.put_gear_on()
    scale.put_mg(9_000_000)
    yard.until(lambda view: view.scale.state == "steady")
    yard.press()
    scale.put_mg(-200_000)
    yard.wait(3.0)
    assert yard.view.figure is not None
    scale.put_mg(-8_800_000)
    yard.wait(3.0)
    assert yard.question.ask == "Put the supply back on the scale."
    assert yard.view.figure is None


def test_a_supply_put_back_heavier_is_no_dose() -> None:
    scale = EmulatedScale(QUIET, seed=3)
    yard = Yard(split(), scale=scale, weighing="supply", settings=Settings(hands_free_s=1.0))
    yard.put_gear_on()
    scale.put_mg(9_000_000)
    yard.until(lambda view: view.scale.state == "steady")
    yard.press()
    scale.put_mg(500_000)
    yard.wait(5.0)
    assert yard.question.ask == "Put the supply back on the scale."
    yard.press()
    assert yard.weights == []
