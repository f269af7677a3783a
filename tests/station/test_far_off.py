"""A number typed far off: what was meant is offered with where the batch would end, and ten times is typed twice."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.station.bench import Settings
from mixstation.station.meant import is_wild, meant
from mixstation.units.parse import parse_mass_mg
from mixstation.units.show import DisplayUnits
from tests.station.mixer import mix
from tests.station.recipes import quick, split
from tests.station.yard import Yard

KG = 1_000_000


def powder_due(settings: Settings | None = None) -> Yard:
    """4.000 kg of blend are asked for, typed; 832 g of water are in."""
    yard = Yard(quick(), powder="8 kg", settings=settings)
    yard.put_gear_on()
    yard.press(typed="832 g")
    assert "4.000 kg" in yard.question.ask or "lb" in yard.question.ask
    return yard


def blend_mg(yard: Yard) -> int:
    return round(yard.run.content["blend"])


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("40", "4.000 kg"),
        ("400", "4.000 kg"),
        ("0.4", "4.000 kg"),
        ("44", "4.000 kg"),
        ("0,04", "4.000 kg"),
        ("8.8", "3.992 kg"),
        ("20", "2.000 kg"),
    ],
)
def test_what_was_meant_is_offered_and_taken_by_its_number(typed: str, offered: str) -> None:
    """8.8 lb are 3.992 kg: NIST SP 811 (2008), B.8."""
    yard = powder_due()
    yard.press(typed=typed)
    assert yard.question.ident.endswith("/far-off/0")
    words = [choice.words for choice in yard.question.choices]
    assert any(each.startswith(offered) for each in words[:3]), words
    assert "4.000 kg" in yard.question.ask
    assert "The water would end at 0." in yard.question.ask
    yard.press()
    assert blend_mg(yard) == 0
    yard.pick(f"{offered} was meant")
    if yard.question.grave and yard.question.enter:
        yard.press()
    assert abs(blend_mg(yard) - parse_mass_mg(offered)) <= 1000


@pytest.mark.parametrize("typed", ["20", "40", "400", "0.4", "0.2", "40 kg", "4000 kg"])
def test_so_wild_a_number_is_booked_only_when_it_is_typed_twice(typed: str) -> None:
    yard = powder_due()
    if typed == "4000 kg":
        typed = "2000 kg"
    yard.press(typed=typed)
    yard.pick("type it once more")
    for other in ("", "4", "39"):
        yard.press(typed=other)
        assert blend_mg(yard) == 0
    yard.press(typed=typed)
    assert blend_mg(yard) == parse_mass_mg(typed, "kg")


@given(keys=st.lists(st.sampled_from(["", "1", "2", "3", "40", "yes"]), max_size=5))
def test_no_row_of_enters_and_choices_books_ten_times_the_dose(keys: list[str]) -> None:
    yard = powder_due()
    yard.press(typed="40")
    for key in keys:
        if "/main/" in yard.question.ident:
            break
        if key == "40" and "type-again" in yard.question.ident:
            continue
        yard.press(typed=key)
        assert blend_mg(yard) <= 4 * KG + 1000


def test_where_enough_is_in_too() -> None:
    yard = powder_due()
    yard.press(typed="4")
    mix(yard, until=lambda view: "4.000 kg" in view.question.ask)
    yard.press("add-else")
    yard.pick("Casting blend")
    yard.press(typed="4 kg")
    mix(yard, until=lambda view: "Enough" in view.question.ask)
    yard.press(typed="40 kg")
    assert blend_mg(yard) == 8 * KG
    yard.press()
    yard.press()
    assert blend_mg(yard) == 8 * KG
    yard.pick("type it once more")
    yard.press(typed="40 kg")
    assert blend_mg(yard) == 48 * KG


def test_beside_the_steps_and_when_taken_out_too() -> None:
    yard = powder_due()
    yard.press("add-else")
    yard.pick("Water")
    yard.press(typed="2080")
    assert yard.question.ident.endswith("/far-off/0")
    assert any("208 g" in choice.words for choice in yard.question.choices)


def test_in_pounds_the_pounds_are_offered() -> None:
    yard = powder_due(Settings(hands_free_s=0, units=DisplayUnits.US))
    yard.press(typed="88.2")
    # Ounces would make two thirds of it: that is asked first.
    assert "/which-weight/" in yard.question.ident
    yard.pick("88.2 lb")
    assert any(choice.words.startswith("8.820 lb") for choice in yard.question.choices), yard.question.choices


def test_a_little_far_off_is_asked_about_as_before() -> None:
    yard = powder_due()
    yard.press(typed="6.3")
    assert yard.question.enter == "yes, that much went in"


@pytest.mark.parametrize(
    ("typed", "target_mg", "shown", "mass"),
    [
        # A slipped mark, a digit left out, twice, before its neighbour, another unit.
        ("83.2", 832_000, "832 g", "832"),
        ("83", 832_000, "832 g", "832"),
        ("8832", 832_000, "832 g", "832"),
        ("1.4", 4_100_000, "4.100 kg", "4.1 kg"),
        ("29", 832_000, "832 g", "29 oz"),
    ],
)
def test_each_slip_of_a_hand_is_known(typed: str, target_mg: int, shown: str, mass: str) -> None:
    unit = "kg" if "kg" in shown else "g"

    def read(text: str) -> int:
        return parse_mass_mg(text, unit)

    assert read(mass) in meant(typed, read(typed), target_mg, shown, read)


@pytest.mark.parametrize("times", [5, 9, 10, 100, 1000])
def test_many_times_and_a_small_part_are_wild(times: int) -> None:
    assert is_wild(times * 4000, 4000)
    assert is_wild(4000, times * 4000)


def test_a_coat_that_is_taken_out_is_no_way_round_it() -> None:
    yard = Yard(split(), powder="8 kg")
    mix(yard, until=lambda view: "/take-out/" in view.question.ident)
    before = yard.run.in_bucket_mg
    target = yard.question.ask
    assert "kg" in target or " g " in target
    yard.press(typed="0.1")
    assert yard.run.in_bucket_mg == before
