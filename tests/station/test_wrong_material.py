"""Another material went in: booked as what it was where its mass is known, discarded where nobody knows it.

Source: common practice, no source.
"""

from mixstation.batch.events import BatchDiscarded
from mixstation.wording import menu_lines as words
from tests.station.mixer import at_step, mix
from tests.station.recipes import quick
from tests.station.view_checks import check
from tests.station.yard import Yard


def _told() -> Yard:
    yard = Yard(quick())
    mix(yard, until=at_step("Casting blend"))
    yard.press("trouble")
    yard.pick(words.SWAPPED_LINE)
    return yard


def test_a_weight_is_still_one_of_the_lines() -> None:
    yard = _told()
    assert any("Water" in choice.words for choice in yard.question.choices)


def test_of_unknown_mass_it_is_to_be_discarded() -> None:
    yard = _told()
    yard.pick(words.UNKNOWN_LINE)
    assert yard.question.ask == words.UNKNOWN
    assert "Discard it" in yard.question.ask
    assert yard.question.grave
    check(yard.view)
    yard.pick(words.DISCARD_LINE)
    assert yard.facts[-1] == BatchDiscarded(reason=words.UNKNOWN_DISCARD)


def test_from_there_one_can_go_back_with_nothing_changed() -> None:
    yard = _told()
    before = yard.facts
    yard.pick(words.UNKNOWN_LINE)
    yard.pick(words.UNKNOWN_BACK)
    assert not yard.question.grave
    assert yard.facts == before
