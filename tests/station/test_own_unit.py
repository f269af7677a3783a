"""A pocket scale in grams in a shop that reads pounds: what is weighed on it is asked for and typed in grams."""

import pytest

from mixstation.account.batch_record import batch_record
from mixstation.batch.events import WeighedApart
from mixstation.station.bench import Settings
from mixstation.units.parse import parse_mass_mg
from mixstation.units.show import DisplayUnits
from tests.station.mixer import mix
from tests.station.recipes import slate
from tests.station.test_weighed_apart import ON_FILE, asks_for_slate
from tests.station.yard import Yard

US = Settings(hands_free_s=0, units=DisplayUnits.US)


def at_slate(apart: WeighedApart, settings: Settings = US) -> Yard:
    yard = Yard(slate(), "8 lb", settings=settings, weighed_apart=(apart,), on_file=ON_FILE)
    mix(yard, verdict="too stiff", until=asks_for_slate)
    return yard


@pytest.mark.parametrize("division_mg", [10, 100])
def test_on_a_gram_scale_grams_are_asked_for_typed_and_told(division_mg: int) -> None:
    yard = at_slate(WeighedApart(material="slate", scale="pocket", division_mg=division_mg))
    target = yard.question.ask.removeprefix("Weigh ").partition(" of ")[0]
    assert target.endswith(" g")
    assert "lb" not in yard.question.ask
    assert yard.question.unit_word == "grams"
    assert yard.view.figure is not None
    assert yard.view.figure.unit_word == "grams"
    assert yard.view.pour is not None
    assert yard.view.pour.target == target
    assert yard.view.pour.right.endswith(" g")
    assert next(line.amount for line in yard.view.to_come if line.mark == "now") == target
    yard.press(typed=target.removesuffix(" g"))
    weight = yard.weights[-1]
    assert (weight.material, weight.mass_mg) == ("slate", parse_mass_mg(target))
    assert yard.view.went_in[-1].amount == target
    assert yard.view.notice.startswith(target)
    # What the bucket scale weighs stays in pounds.
    assert any(" lb" in line.amount for line in yard.view.to_come) or any(
        " lb" in line.amount for line in yard.view.went_in
    )
    yard.come_back()
    assert yard.view.went_in[-1].amount == target
    record = batch_record(yard.run.entries, DisplayUnits.US)
    (pigment,) = (each for each in record["materials"] if each["key"] == "slate")
    assert pigment["went_in"] == target


def test_what_its_entry_says_goes_before_its_division() -> None:
    yard = at_slate(WeighedApart(material="slate", scale="pocket", division_mg=100, unit="oz"))
    assert yard.question.ask.removeprefix("Weigh ").partition(" of ")[0].endswith(" oz")


def test_a_metric_shop_with_a_scale_in_ounces() -> None:
    settings = Settings(hands_free_s=0)
    yard = at_slate(WeighedApart(material="slate", scale="mail", division_mg=283), settings)
    assert yard.question.ask.removeprefix("Weigh ").partition(" of ")[0].endswith(" oz")
    assert yard.question.unit_word == "ounces"
