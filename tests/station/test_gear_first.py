"""Before the gear is on nothing is to be done, and what is only listed is not worked out."""

import pytest

from mixstation.batch.way import Way
from mixstation.station import work
from tests.station.yard import Yard


def test_no_step_is_at_hand_before_the_gear_is_on() -> None:
    yard = Yard("hearth_plate", "8 kg")
    first, second, *_ = yard.view.to_come
    assert (first.mark, second.mark) == ("next", "")
    assert "now" not in {line.mark for line in yard.view.to_come}
    yard.put_gear_on()
    first, second, *_ = yard.view.to_come
    assert (first.mark, second.mark) == ("now", "next")


def test_nothing_is_to_come_once_the_batch_is_discarded() -> None:
    yard = Yard("hearth_plate", "8 kg")
    yard.put_gear_on()
    assert yard.view.to_come
    yard.press("trouble")
    yard.pick("discard")
    yard.pick("not needed")
    assert yard.run.ended == "discarded"
    assert yard.view.to_come == ()


def test_the_ways_out_are_worked_out_when_they_are_asked_for_and_not_before(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[object] = []

    def no_ways(*found: object, **_: object) -> tuple[Way, ...]:
        asked.append(found)
        return ()

    yard = Yard("hearth_plate", "8 kg")
    yard.put_gear_on()
    monkeypatch.setattr(work, "ways_out", no_ways)
    yard.press("trouble")
    assert asked == []
    yard.pick("ways out")
    assert len(asked) == 1
