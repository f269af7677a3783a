"""A decision cut off between two of its facts is completed when the batch is taken up."""

from collections.abc import Iterator

import pytest

from mixstation.batch.events import FlagRaised, TimerStarted
from mixstation.batch.run import Run, fold
from mixstation.record.codec import new_event
from mixstation.scale.emulator import EmulatedScale
from mixstation.station.opening import resumed
from mixstation.station.session import Session, Settings
from mixstation.wording import menu_lines
from tests.record.memory_journal import MemoryJournal
from tests.station.clock import HandClock
from tests.station.mixer import Hand, answer_at_scale, answer_now
from tests.station.recipes import quick, split
from tests.station.yard import BATCH, BUCKET_MG, QUIET, TICK_S, Yard


def cut(run: Run, count: int) -> Run:
    """What is taken up when only so many entries were stored."""
    store = MemoryJournal()
    for entry in run.entries[:count]:
        store.append(BATCH, [new_event(entry)])
    clock = HandClock()
    clock.go_on(10_000)
    keeper = resumed(store, clock, "Ida", BATCH)
    return Session(keeper, clock, None, Settings(hands_free_s=0)).run


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
def test_cut_off_inside_any_decision(coats: int, on_scale: bool, verdict: str) -> None:
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
            assert (again.finished, again.content, again.ran_out) == (
                whole.finished,
                whole.content,
                whole.ran_out,
            )
            assert set(again.timers) >= set(whole.timers)


def test_a_material_that_ran_out_is_not_asked_for_again() -> None:
    yard = Yard(quick())
    yard.put_gear_on()
    yard.press(typed="208 g")
    yard.press("menu")
    yard.pick(menu_lines.RAN_OUT_LINE)
    before = len(yard.facts)
    yard.pick("AR glass fibre")
    after = before + sum(not isinstance(fact, FlagRaised) for fact in yard.facts[before:])
    assert after == before + 2
    assert cut(yard.run, before + 1).finished == fold(yard.run.entries[:after]).finished


def test_a_part_of_a_dose_owes_nothing() -> None:
    yard = Yard(quick())
    yard.put_gear_on()
    yard.press(typed="150 g")
    again = cut(yard.run, len(yard.facts))
    assert again.finished == frozenset()
    assert again.content == yard.run.content


def test_a_rest_that_was_to_begin_begins() -> None:
    yard = Yard(quick())
    while not any(isinstance(fact, TimerStarted) and fact.step == "7" for fact in yard.facts):
        answer = answer_now(yard.view)
        if answer is not None:
            yard.session.answer(answer)
        yard.wait(0.5)
    begun = next(
        place for place, fact in enumerate(yard.facts) if isinstance(fact, TimerStarted) and fact.step == "7"
    )
    assert "7" in cut(yard.run, begun).timers
