"""A batch of an earlier program, cut off between two facts of a decision: nothing is done to the bucket twice."""

from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest

from mixstation.batch.events import Entry, FlagRaised, MaterialRemoved, PortionTaken
from mixstation.batch.run import Run, fold
from mixstation.record.codec import FORM, new_event, stored_entries
from mixstation.record.stored import NewEvent
from mixstation.scale.emulator import EmulatedScale
from mixstation.station.bench import Settings
from mixstation.station.opening import resumed
from mixstation.station.session import Session
from tests.record.memory_journal import MemoryJournal
from tests.station.clock import HandClock
from tests.station.mixer import Hand, answer_at_scale, answer_now
from tests.station.recipes import quick, split
from tests.station.yard import BATCH, BUCKET_MG, QUIET, TICK_S, Yard

_OUT = (MaterialRemoved, PortionTaken)


def stored_singly(entry: Entry) -> NewEvent:
    """As an earlier program stored it."""
    event = new_event(entry)
    return replace(event, body=event.body.replace(f'"form":{FORM}', '"form":1'))


def cut(run: Run, count: int, how: Callable[[Entry], NewEvent] = stored_singly) -> Session:
    """What is taken up when only so many entries were stored."""
    store = MemoryJournal()
    store.append(BATCH, [how(entry) for entry in run.entries[:count]])
    clock = HandClock()
    clock.go_on(10_000)
    keeper = resumed(store, clock, "Ida", BATCH)
    assert fold(stored_entries(store, BATCH)) == keeper.run
    return Session(keeper, clock, None, Settings(hands_free_s=0))


def decisions(yard: Yard, hand: Hand | None, verdict: str) -> Iterator[tuple[int, int]]:
    """From and to which entry each answer of a whole batch reached, flags left aside."""
    while not yard.view.ended:
        view = yard.view
        if hand is not None:
            hand.follow(view)
        answer = (answer_now if hand is None else answer_at_scale)(view, verdict)
        before = len(yard.facts)
        if answer is not None:
            yard.session.answer(answer)
        after = before + sum(not isinstance(fact, FlagRaised) for fact in yard.facts[before:])
        if after > before + 1:
            yield before, after
        yard.wait(TICK_S)


@pytest.mark.parametrize("coats", [1, 2])
@pytest.mark.parametrize("on_scale", [True, False])
@pytest.mark.parametrize("verdict", ["too stiff", "too loose"])
def test_an_old_batch_cut_off_inside_any_decision_asks_for_nothing_twice(
    coats: int, on_scale: bool, verdict: str
) -> None:
    scale = EmulatedScale(QUIET, seed=1) if on_scale else None
    yard = Yard(quick() if coats == 1 else split(), scale=scale)
    hand = None
    if scale is not None:
        scale.put_mg(BUCKET_MG)
        hand = Hand(scale)
    cuts = list(decisions(yard, hand, verdict))
    assert len(cuts) >= 4
    for before, after in cuts:
        whole = fold(yard.run.entries[:after])
        for count in range(before + 1, after):
            again = cut(yard.run, count)
            assert (again.run.content, again.run.ran_out) == (whole.content, whole.ran_out)
            if any(isinstance(entry.fact, _OUT) for entry in yard.run.entries[before:count]):
                assert again.run.finished == whole.finished


def _past_the_release() -> Yard:
    """Water was poured back on the way to this view, in a decision of two facts."""
    yard = Yard(quick())
    yard.put_gear_on()
    yard.press(typed="0.291 kg")
    while "pick-way" not in yard.question.ident:
        yard.press()
    yard.pick("Water back")
    assert yard.view.pour is not None
    yard.press(typed=yard.view.pour.target)
    return yard


def test_water_poured_back_is_not_asked_for_again() -> None:
    yard = _past_the_release()
    out, done = (fact.kind for fact in yard.facts[-2:])
    assert (out, done) == ("material-removed", "step-done")
    again = cut(yard.run, len(yard.facts) - 1)
    assert again.run.finished == yard.run.finished
    kinds = [entry.fact.kind for entry in again.run.entries]
    assert kinds[: len(yard.facts) + 1] == [*(fact.kind for fact in yard.facts), "program-resumed"]
    assert again.view().question.ask == yard.question.ask


def test_of_a_batch_stored_in_whole_decisions_nothing_is_guessed() -> None:
    """The same entries in the form of now: there it was no cut, and the step is still to be done."""
    yard = _past_the_release()
    again = cut(yard.run, len(yard.facts) - 1, new_event)
    kinds = [entry.fact.kind for entry in again.run.entries]
    assert kinds[len(yard.facts) - 2 : len(yard.facts)] == ["material-removed", "program-resumed"]
    assert again.run.finished < yard.run.finished


def test_a_part_of_a_dose_owes_nothing() -> None:
    yard = Yard(quick())
    yard.put_gear_on()
    yard.press(typed="150 g")
    again = cut(yard.run, len(yard.facts)).run
    assert again.finished == frozenset()
    assert again.content == yard.run.content


def test_a_dose_cut_off_is_asked_for_with_what_is_left_of_it() -> None:
    yard = Yard(quick())
    yard.put_gear_on()
    yard.press(typed="208 g")
    assert [fact.kind for fact in yard.facts[-2:]] == ["weight-recorded", "step-done"]
    again = cut(yard.run, len(yard.facts) - 1)
    assert again.view().question.ask == "Enough Water is in."
