"""The storage fails while the concrete does not wait."""

import pytest

from mixstation.batch.events import NoteWritten
from mixstation.record.codec import new_event, stored_entries
from mixstation.record.errors import JournalError
from mixstation.station.bench import Settings
from mixstation.station.keeper import Keeper
from mixstation.station.order import Order, powders_for, start_fact
from mixstation.station.session import Session
from mixstation.station.view import Answer
from mixstation.wording.entry_lines import NOT_WRITTEN
from mixstation.wording.view_lines import OVER
from tests.station.clock import HandClock
from tests.station.failing_store import FailingStore
from tests.station.mixer import at_step, mix
from tests.station.recipes import quick
from tests.station.yard import BATCH, Yard

RETRIES_S = 1.2


def at_powder() -> tuple[Yard, FailingStore]:
    store = FailingStore()
    yard = Yard(quick(), store=store)
    mix(yard, until=at_step("Casting blend"))
    return yard, store


def test_guidance_goes_on_under_a_banner_and_what_was_held_is_written_late_in_order() -> None:
    yard, store = at_powder()
    before = len(yard.facts)
    store.fails = "disk-full"
    yard.press(typed="1 kg")
    assert yard.view.saved_grave
    assert "2 entries (the disk is full)" in yard.view.saved
    assert yard.question.ask.startswith("Mix fast")
    mix(yard, until=at_step("judge"))
    held = len(yard.facts) - before
    assert held > 5
    assert f" {held} " in yard.view.saved
    assert len(stored_entries(store, BATCH)) == before
    store.fails = ""
    yard.wait(RETRIES_S)
    assert not yard.view.saved_grave
    assert yard.view.saved == "saved"
    assert yard.stored() == yard.run
    assert [entry.stamp.late for entry in yard.run.entries] == [False] * before + [True] * held
    mix(yard)
    assert not yard.run.entries[-1].stamp.late


def test_a_disk_that_stays_away_is_not_tried_at_every_look() -> None:
    yard, store = at_powder()
    store.fails = "storage-failed"
    yard.press(typed="1 kg")
    tries = store.tries
    yard.wait(10)
    assert 5 <= store.tries - tries <= 12


def test_an_event_that_was_stored_after_all_is_neither_lost_nor_doubled() -> None:
    yard, store = at_powder()
    store.fails, store.outcome = "storage-failed", "present"
    yard.press(typed="1 kg")
    store.fails = ""
    yard.wait(RETRIES_S)
    assert yard.stored() == yard.run
    assert sum(weight.material == "blend" for weight in yard.weights) == 1


def test_an_event_of_unknown_fate_is_written_once_it_can_be() -> None:
    yard, store = at_powder()
    store.fails, store.outcome = "storage-failed", "unknown"
    yard.press(typed="1 kg")
    assert yard.view.saved_grave
    store.fails = ""
    yard.wait(RETRIES_S)
    assert yard.stored() == yard.run


def test_the_record_is_only_written_up_once_everything_is_stored() -> None:
    yard, store = at_powder()
    asked: list[str] = []

    def write_up(batch: str) -> str:
        asked.append(batch)
        return "written up"

    yard.session = Session(
        Keeper.resume(store, yard.clock, "Ida", BATCH), yard.clock, None, Settings(), at_end=write_up
    )
    mix(yard, until=lambda view: view.question.ask.startswith("All steps"))
    store.fails = "disk-full"
    yard.press()
    yard.press(typed="1")
    assert yard.run.ended
    yard.wait(3)
    assert asked == []
    store.fails = ""
    yard.wait(RETRIES_S)
    assert asked == [BATCH]
    assert yard.view.notice == "written up"
    assert yard.view.parting == OVER.format(said="written up")
    yard.wait(3)
    assert asked == [BATCH]


@pytest.mark.parametrize(
    ("error", "why"),
    [
        (OSError(28, "No space left on device"), " The system refused: No space left on device."),
        (KeyError("x"), ""),
    ],
)
def test_a_record_that_cannot_be_written_is_said_and_ends_nothing(error: Exception, why: str) -> None:
    def fails(_: str) -> str:
        raise error

    yard = Yard(quick())
    yard.session = Session(
        Keeper.resume(yard.store, yard.clock, "Ida", BATCH), yard.clock, None, Settings(), at_end=fails
    )
    mix(yard, until=lambda view: view.question.enter == "leave")
    assert yard.run.ended == "finished"
    said = NOT_WRITTEN.format(batch_id=BATCH) + why
    assert yard.view.notice == said
    yard.press()
    assert yard.view.ended
    # What is said last is no less true.
    assert yard.view.parting == OVER.format(said=said)


def test_what_is_held_is_tried_once_more_on_leaving() -> None:
    yard, store = at_powder()
    store.fails = "disk-full"
    yard.press(typed="1 kg")
    store.fails = ""
    yard.session.close()
    assert yard.stored() == yard.run


def test_without_a_stored_start_there_is_no_batch() -> None:
    store = FailingStore()
    store.fails = "disk-full"
    loaded = quick()
    order = Order(loaded=loaded, powders=powders_for(loaded, powder_mg=1_000_000))
    with pytest.raises(JournalError) as caught:
        Keeper.begin(store, HandClock(), "Ida", start_fact(order, BATCH))
    assert caught.value.code == "disk-full"


def test_nothing_is_called_saved_before_it_is() -> None:
    yard, store = at_powder()
    store.fails = "busy"
    for _ in range(3):
        yard.session.answer(Answer(question=yard.question.ident, pressed="enter", typed="1 kg"))
        assert yard.view.saved_grave
        assert yard.view.saved.startswith("NOT SAVED")


def at_store(*facts: NoteWritten) -> tuple[Keeper, FailingStore, HandClock]:
    """A keeper that decided all of these at once while the disk was away."""
    store, clock = FailingStore(), HandClock()
    order = Order(loaded=quick(), powders=powders_for(quick(), powder_mg=2_000_000))
    keeper = Keeper.begin(store, clock, "Ida", start_fact(order, BATCH))
    store.fails = "disk-full"
    keeper.keep(*facts)
    return keeper, store, clock


NOTES = tuple(NoteWritten(text=text) for text in ("one", "two", "three"))


def test_a_decision_is_held_and_stored_as_a_whole() -> None:
    keeper, store, _ = at_store(*NOTES)
    keeper.keep()
    keeper.keep(NoteWritten(text="another decision"))
    assert len(keeper.held) == 4
    assert len(store.events(BATCH)) == 1
    store.fails, store.decisions = "", []
    keeper.flush(at_once=True)
    assert len(keeper.held) == 0
    assert store.decisions == [3, 1]
    assert stored_entries(store, BATCH) == keeper.run.entries
    stamps = [entry.stamp for entry in keeper.run.entries[1:4]]
    assert stamps == [stamps[0]] * 3
    assert stamps[0].late


def test_a_decision_of_unknown_fate_is_retried_word_for_word() -> None:
    """Whether it went in or not: not marked late anew, not stored twice, not by halves."""
    for went_in in (False, True):
        keeper, store, _ = at_store()
        store.outcome = "unknown"
        keeper.keep(*NOTES)
        entries = keeper.run.entries
        assert not any(entry.stamp.late for entry in entries)
        store.fails = ""
        if went_in:
            store.append(BATCH, [new_event(entry) for entry in entries[1:]])
        keeper.flush(at_once=True)
        assert len(keeper.held) == 0
        assert stored_entries(store, BATCH) == keeper.run.entries == entries
