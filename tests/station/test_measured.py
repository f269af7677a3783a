"""A consistency that is measured, at the bucket: both diameters of a spread, in the mixer's own unit."""

import pytest

from mixstation.batch.events import ConsistencyJudged
from mixstation.recipe.file import LoadedRecipe, read_recipe
from mixstation.station.view import View
from mixstation.units.settings import Settings
from mixstation.units.show import DisplayUnits
from mixstation.wording.entry_lines import fact_line
from mixstation.wording.words import Speech
from tests.station.mixer import mix
from tests.station.recipes import QUICK
from tests.station.yard import Yard

US = Settings(hands_free_s=0, units=DisplayUnits.US)


def measured_by(step: str) -> LoadedRecipe:
    assert QUICK.count('consistency = "trowel"') == 1
    return read_recipe(QUICK.replace('consistency = "trowel"', step), "sill_cap.toml")


def judging(step: str = 'spread = "205 mm to 245 mm"', settings: Settings | None = None) -> Yard:
    yard = Yard(measured_by(step), settings=settings or Settings(hands_free_s=0))

    def is_there(view: View) -> bool:
        return "/judge/" in view.question.ident

    mix(yard, until=is_there)
    return yard


def kept(yard: Yard) -> list[ConsistencyJudged]:
    return [fact for fact in yard.facts if isinstance(fact, ConsistencyJudged)]


def test_both_diameters_are_asked_with_what_is_right() -> None:
    yard = judging()
    words = " ".join((yard.question.ask, *yard.question.detail))
    assert "205 to 245 mm" in words
    assert "ring" in words
    assert "mould" not in words
    yard.press(typed="221")
    assert "221 mm" in " ".join(yard.question.detail)
    assert "205 to 245 mm" in " ".join(yard.question.detail)
    assert not kept(yard)
    yard.press(typed="230")
    (fact,) = kept(yard)
    assert (fact.figure, fact.across_um, fact.verdict) == (226, (221_000, 230_000), "right")


def test_in_inches_it_is_asked_typed_and_told_in_inches() -> None:
    yard = judging(settings=US)
    assert "8.07 to 9.65 in" in " ".join(yard.question.detail)
    assert yard.question.unit_word == "inches"
    yard.press(typed="8.8")
    yard.press(typed="9")
    (fact,) = kept(yard)
    # 25.4 mm make an inch: definition.
    assert (fact.figure, fact.across_um) == (226, (223_520, 228_600))
    entry = next(entry for entry in yard.run.live if entry.fact == fact)
    speech = Speech(units=DisplayUnits.US, division_mg=1000)
    assert fact_line(yard.run, entry, speech).endswith(", 8.9 in (8.8 in and 9 in)")


@pytest.mark.parametrize("typed", ["2", "2 mm", "22", "2250", "0", "-225"])
def test_no_spread_is_two_millimetres(typed: str) -> None:
    yard = judging()
    yard.press(typed=typed)
    assert yard.view.notice
    assert "/judge/" in yard.question.ident
    yard.press(typed="221")
    yard.press(typed=typed)
    assert "/across/" in yard.question.ident
    assert not kept(yard)


def test_the_first_can_be_measured_again() -> None:
    yard = judging()
    yard.press(typed="250")
    yard.press("back")
    yard.press(typed="221")
    yard.press(typed="219")
    assert kept(yard)[0].across_um == (221_000, 219_000)


@pytest.mark.parametrize(
    ("step", "right", "absurd", "good"),
    [
        ('flow = "110 % to 130 %"', "110 to 130 %", "1200", "120"),
        ('rings = "3 to 5"', "ring 3 to ring 5, 125 mm to 165 mm across", "35", "4"),
    ],
)
def test_a_flow_and_a_ring_say_what_is_right_and_refuse_what_cannot_be(
    step: str, right: str, absurd: str, good: str
) -> None:
    """Rings of 65 mm and 20 mm more each: EN 1170-1:1997, from memory."""
    yard = judging(step)
    assert right in " ".join(yard.question.detail)
    yard.press(typed=absurd)
    assert "can. Look again." in yard.view.notice
    assert not kept(yard)
    yard.press(typed=good)
    assert [(fact.figure, fact.verdict) for fact in kept(yard)] == [(int(good), "right")]
