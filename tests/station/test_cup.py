"""A cup of mix, weighed at the bucket by number pad: what is asked, what it tells, what it keeps."""

import pytest

from mixstation.batch.events import DensityMeasured
from mixstation.wording.cup_lines import CUP_LINE
from tests.station.test_talks import at
from tests.station.yard import Yard


def open_cup(yard: Yard) -> None:
    yard.press("menu")
    yard.pick(CUP_LINE)


@pytest.mark.parametrize(
    ("cup", "cup_ul"),
    [("500", 500_000), ("0,5 L", 500_000), ("499.105 g", 500_000), ("16 US fl oz", 473_176)],
)
def test_a_cup_by_its_volume_or_by_its_water(cup: str, cup_ul: int) -> None:
    yard = at("finish")
    open_cup(yard)
    yard.press(typed=cup)
    yard.press(typed="980 g")
    assert yard.question.ask.startswith("The bucket makes ")
    assert "of the computed volume" in yard.question.ask
    assert any(line.startswith("Air: ") for line in yard.question.detail)
    kept = [fact for fact in yard.facts if isinstance(fact, DensityMeasured)]
    assert [(fact.mass_mg, fact.cup_ul) for fact in kept] == [(980_000, cup_ul)]
    yard.press()
    assert not yard.question.grave


def test_a_slip_is_told_and_nothing_is_kept() -> None:
    yard = at("finish")
    open_cup(yard)
    yard.press(typed="500")
    yard.press(typed="98 g")
    assert "196 kg/m³" in yard.view.notice
    assert not any(isinstance(fact, DensityMeasured) for fact in yard.facts)


def test_while_something_is_poured_no_cup_is_offered() -> None:
    yard = at("pour")
    yard.press("menu")
    assert CUP_LINE not in [choice.words for choice in yard.question.choices]
