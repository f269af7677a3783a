"""The station's thread: views handed out, answers queued, errors told, everything released."""

import threading
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from mixstation.record.errors import JournalError
from mixstation.record.journal import Journal
from mixstation.record.stored import NewEvent, StoredEvent, open_batches
from mixstation.scale.emulator import EmulatedScale
from mixstation.scale.profile_folder import find_profile
from mixstation.station import station
from mixstation.station.bench import Settings
from mixstation.station.clocks import SystemClock
from mixstation.station.keeper import Keeper
from mixstation.station.opening import begin, take_up
from mixstation.station.order import start_fact
from mixstation.station.session import Session
from mixstation.station.station import Station, StationError
from mixstation.station.view import Answer, View
from mixstation.station.watch import ScaleWatch
from mixstation.wording.view_lines import HELD_UP
from tests.scale.emulated_link import EmulatedLink
from tests.station.clock import HandClock
from tests.station.failing_store import FailingStore
from tests.station.mixer import answer_now
from tests.station.real import PATIENCE_S, bench, kinds, order, press, until
from tests.station.yard import QUIET

FOREIGN = Answer(question="of another time", pressed="enter")


def test_a_view_is_the_same_object_until_something_has_changed(tmp_path: Path) -> None:
    desk = begin(bench(tmp_path, clock=HandClock()), order())
    try:
        first = desk.view()
        desk.answer(FOREIGN)
        told = until(desk, lambda view: view.notice)
        assert told.serial == first.serial + 1
        assert told.answered == first.answered + 1
        # The same refusal again is counted, and is nothing new besides.
        desk.answer(FOREIGN)
        again = until(desk, lambda view: view is not told)
        assert again == replace(told, serial=told.serial + 1, answered=told.answered + 1)
        assert desk.view() is desk.view()
    finally:
        desk.stop()


def test_each_new_weight_wakes_the_station(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It looks by itself no more often than once an hour here: what is shown came by the scale's word."""
    for wait in ("STILL_S", "HELD_UP_S"):
        monkeypatch.setattr(station, wait, 3600.0)
    clock, scale = HandClock(), EmulatedScale(QUIET, seed=1)
    link = EmulatedLink(scale, find_profile("header-token-line"), lambda: clock.mono_ms / 1000)
    desk = begin(bench(tmp_path, clock=clock, link=lambda: link), order())
    try:
        press(desk)
        for mass_mg, text in ((1_240_000, "1.240 kg"), (260_000, "1.500 kg"), (260_000, "1.760 kg")):
            scale.put_mg(mass_mg)
            clock.go_on(2.0)
            # Whoever asks the link here is its thread.
            link.latest()
            until(desk, lambda view, text=text: view.scale.text == text)
    finally:
        desk.stop()


def test_an_answer_is_taken_between_looks_however_long_they_take(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Session, "moved", lambda _session: True)
    looks = Session.view

    def slowly(session: Session) -> View:
        time.sleep(2 * station.TICK_S)
        return looks(session)

    monkeypatch.setattr(Session, "view", slowly)
    desk = begin(bench(tmp_path, clock=HandClock()), order())
    try:
        for count in range(1, 4):
            desk.answer(FOREIGN)
            until(desk, lambda view, count=count: view.answered == count)
    finally:
        desk.stop()


def test_watchers_hear_of_every_view_that_is_put_out(tmp_path: Path) -> None:
    scale = EmulatedScale(QUIET, seed=1)
    profile = find_profile("header-token-line")
    desk = begin(bench(tmp_path, link=lambda: EmulatedLink(scale, profile, time.monotonic)), order())
    try:
        press(desk)
        scale.put_mg(1_240_000)
        until(desk, lambda view: view.scale.state == "steady" and view.scale.text == "1.240 kg")
        press(desk)
        until(desk, lambda view: view.pour is not None and view.pour.fraction == 0)
        calls: list[int] = []
        desk.watch(lambda: calls.append(1))
        serial = desk.view().serial
        scale.pour(20_000)
        until(desk, lambda view: view.serial > serial + 6)
        assert len(calls) >= 6
        scale.stop_pour()
        press(desk, "menu")
        until(desk, lambda view: len(calls) >= view.serial - serial)
    finally:
        desk.stop()


def test_answers_may_come_from_any_thread_and_each_counts_at_most_once(tmp_path: Path) -> None:
    desk = begin(bench(tmp_path), order())
    try:
        answer = answer_now(desk.view())
        assert answer is not None
        threads = [threading.Thread(target=desk.answer, args=(answer,)) for _ in range(20)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        until(desk, lambda view: view.question.entry == "mass")
        press(desk, typed="208 g")
        assert kinds(tmp_path).count("safety-acknowledged") == 1
    finally:
        desk.stop()


def test_a_flood_of_answers_keeps_nothing_from_coming_by_itself(tmp_path: Path) -> None:
    clock = HandClock()
    desk = begin(bench(tmp_path, clock=clock), order())
    flooding = threading.Event()

    def flood() -> None:
        while not flooding.is_set():
            desk.answer(FOREIGN)
            time.sleep(0.0005)

    thread = threading.Thread(target=flood)
    thread.start()
    try:
        clock.set_wall(3_600)
        end_s = time.monotonic() + PATIENCE_S
        while "clock-stepped" not in kinds(tmp_path):
            assert time.monotonic() < end_s
            time.sleep(0.05)
    finally:
        flooding.set()
        thread.join()
        desk.stop()


def test_what_went_wrong_on_opening_is_raised_where_it_was_opened(tmp_path: Path) -> None:
    desk = begin(bench(tmp_path), order())
    try:
        with pytest.raises(JournalError) as caught:
            begin(bench(tmp_path), order())
        assert caught.value.code == "in-use"
    finally:
        desk.stop()


def test_stopping_lets_go_of_the_journal_and_may_be_done_twice(tmp_path: Path) -> None:
    desk = begin(bench(tmp_path), order())
    desk.stop()
    desk.stop()
    journal = Journal.open(tmp_path)
    assert len(journal.batches()) == 1
    journal.close()


def test_a_station_that_has_failed_says_so_instead_of_standing_still(tmp_path: Path) -> None:
    clock = HandClock()
    desk = begin(bench(tmp_path, clock=clock), order())
    told = threading.Event()
    desk.watch(told.set)
    clock.moment = None  # type: ignore[assignment,method-assign]
    assert told.wait(PATIENCE_S)
    with pytest.raises(StationError) as caught:
        desk.view()
    assert isinstance(caught.value.__cause__, TypeError)
    desk.stop()
    # What was stored is there to go on with.
    again = take_up(bench(tmp_path), _only_batch(tmp_path))
    assert again.view().question.ask
    again.stop()


def test_an_error_while_opening_leaves_no_thread() -> None:
    def fails() -> None:
        raise ValueError("no session")

    before = threading.active_count()
    with pytest.raises(ValueError, match="no session"):
        Station(fails)  # type: ignore[arg-type]
    until_s = time.monotonic() + PATIENCE_S
    while threading.active_count() > before:
        assert time.monotonic() < until_s
        time.sleep(0.005)


def test_the_newest_batch_that_is_not_over_is_taken_up(tmp_path: Path) -> None:
    for ends in (False, True):
        desk = begin(replace(bench(tmp_path, clock=HandClock()), beside=True), order())
        press(desk)
        if ends:
            press(desk, "trouble")
            number = next(
                choice.number for choice in desk.view().question.choices if "discard" in choice.words
            )
            press(desk, typed=str(number))
            press(desk, typed="1")
        desk.stop()
    journal = Journal.open(tmp_path)
    newest, older = (row.batch_id for row in journal.batches())
    assert open_batches(journal) == (older,)
    journal.close()
    desk = take_up(bench(tmp_path, clock=HandClock()), older)
    assert desk.view().question.entry == "mass"
    desk.stop()
    over = take_up(bench(tmp_path, clock=HandClock()), newest)
    assert over.view().question.enter == "leave"
    over.stop()
    journal = Journal.open(tmp_path)
    assert journal.events(newest)[-1].kind == "batch-discarded"
    journal.close()


def test_with_nothing_open_there_is_nothing_to_take_up(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    assert not open_batches(journal)
    journal.close()


def test_who_mixes_is_stored_clean(tmp_path: Path) -> None:
    desk = begin(bench(tmp_path, who="Ida\x1b[2J"), order())
    desk.stop()
    journal = Journal.open(tmp_path)
    body = journal.events(_only_batch_of(journal))[0].body
    journal.close()
    assert "Ida�[2J" in body


def _only_batch(folder: Path) -> str:
    journal = Journal.open_reading(folder)
    try:
        return _only_batch_of(journal)
    finally:
        journal.close()


def _only_batch_of(journal: Journal) -> str:
    (row,) = journal.batches()
    return row.batch_id


class SlowDisk(FailingStore):
    """A disk that keeps a write waiting until it is let go."""

    def __init__(self) -> None:
        super().__init__()
        self.let_go = threading.Event()
        self.let_go.set()

    def append_once(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        assert self.let_go.wait(PATIENCE_S)
        return super().append_once(batch_id, events)


def test_while_a_disk_holds_the_station_up_no_old_weight_is_shown() -> None:
    disk, scale = SlowDisk(), EmulatedScale(QUIET, seed=1)
    profile = find_profile("header-token-line")
    start = start_fact(order(), "b1")

    def opened() -> Session:
        watch = ScaleWatch(EmulatedLink(scale, profile, time.monotonic))
        return Session(
            Keeper.begin(disk, SystemClock(), "Ida", start), SystemClock(), watch, Settings(hands_free_s=0)
        )

    desk = Station(opened)
    try:
        press(desk)
        scale.put_mg(1_240_000)
        until(desk, lambda view: view.scale.state == "steady" and view.scale.text == "1.240 kg")
        press(desk)
        until(desk, lambda view: view.pour is not None and view.pour.fraction == 0)
        scale.pour_at_once(208_000)
        poured = until(desk, lambda view: view.pour is not None and view.pour.actual == "208 g")
        disk.let_go.clear()
        desk.answer(Answer(question=poured.question.ident, pressed="enter", typed="208 g"))
        still = until(desk, lambda view: view.notice == HELD_UP)
        assert still.pour is not None
        assert (still.pour.actual, still.pour.fraction, still.pour.cue) == ("—", None, "")
        assert (still.scale.fresh, still.scale.text, still.figure) == (False, "", None)
        assert (still.saved, still.question.enter) == ("waiting to save", "")
        assert desk.view() is still
        disk.let_go.set()
        goes_on = until(desk, lambda view: view.notice != HELD_UP)
        assert goes_on.went_in
        until(desk, lambda view: view.scale.fresh)
    finally:
        disk.let_go.set()
        desk.stop()
