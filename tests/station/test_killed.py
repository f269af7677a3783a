"""kill -9 after every decision of a batch in turn: nothing acknowledged is lost, and one key goes on."""

import os
import signal
import subprocess
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import IO

import pytest

from mixstation.batch.events import ProgramResumed, WeightRecorded
from mixstation.batch.run import Run, fold
from mixstation.record.codec import new_event, stored_entries
from mixstation.record.journal import Journal
from mixstation.record.stored import NewEvent, StoredEvent, open_batches
from mixstation.station.bench import Settings
from mixstation.station.keeper import Keeper
from mixstation.station.opening import resumed
from mixstation.station.session import Session
from mixstation.station.view import View
from tests.record.memory_journal import MemoryJournal
from tests.station.clock import HandClock
from tests.station.killed_mixer import GONE
from tests.station.scripted import BATCH, begun, work

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True, slots=True, kw_only=True)
class Undisturbed:
    """The batch as it goes when nobody kills it.

    Attributes:
        chains: Of each event: a hash over it and all before.
        decided: How many events there are after each decision.
        views: By how many entries there are, what is shown first once they are stored and the session is at rest.
        run: At the end.
    """

    chains: list[str]
    decided: list[int]
    views: dict[int, View]
    run: Run


class Counting(MemoryJournal):
    """Knows how many events there were after each decision."""

    def __init__(self) -> None:
        super().__init__()
        self.decided: list[int] = []

    def append(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        self.decided.append(events[-1].seq)
        return super().append(batch_id, events)


@pytest.fixture(scope="module")
def undisturbed() -> Undisturbed:
    store, clock = Counting(), HandClock()
    session = begun(store, clock)
    views: dict[int, View] = {}
    work(session, clock, lambda count, view: views.setdefault(count, view) and None)
    chains = [event.chain for event in store.events(BATCH)]
    return Undisturbed(chains=chains, decided=store.decided, views=views, run=session.run)


class Mixer:
    """The process that is killed, again and again."""

    def __init__(self) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.station.killed_mixer"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            cwd=ROOT,
            bufsize=0,
        )
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._to: IO[bytes] = self._process.stdin
        self._from: IO[bytes] = self._process.stdout

    def mix_and_die(self, folder: Path, count: int) -> tuple[list[str], int]:
        """Let it mix until so many events or more are acknowledged, kill it, and give their chains and its clock."""
        self._to.write(f"{folder}\n".encode())
        pid = int(self._line())
        chains: list[str] = []
        while True:
            mono_ms, *decided = self._line().split()
            chains.extend(decided)
            if len(chains) >= count:
                os.kill(pid, signal.SIGKILL)
                assert self._line() == GONE
                return chains, int(mono_ms)
            self._to.write(b".")

    def _line(self) -> str:
        line = b""
        while not line.endswith(b"\n"):
            byte = self._from.read(1)
            assert byte, "the mixer has gone"
            line += byte
        return line.decode().strip()

    def close(self) -> None:
        self._to.close()
        self._process.wait(90)
        self._from.close()


@pytest.fixture(scope="module")
def mixer() -> Iterator[Mixer]:
    found = Mixer()
    yield found
    found.close()


def clock_at(mono_ms: int) -> HandClock:
    clock = HandClock()
    clock.go_on((mono_ms - clock.mono_ms) / 1000)
    return clock


@pytest.mark.deep
def test_nothing_acknowledged_is_lost_whichever_decision_was_the_last(
    undisturbed: Undisturbed, mixer: Mixer, tmp_path: Path
) -> None:
    compared = 0
    assert undisturbed.decided[-1] == len(undisturbed.chains) > len(undisturbed.decided)
    for count in undisturbed.decided:
        folder = tmp_path / str(count)
        folder.mkdir()
        acknowledged, mono_ms = mixer.mix_and_die(folder, count)
        assert acknowledged == undisturbed.chains[:count]
        journal = Journal.open(folder)
        try:
            stored = journal.events(BATCH)
            assert [event.chain for event in stored] == acknowledged
            compared += _comes_back_the_same(journal, undisturbed, count, clock_at(mono_ms))
        finally:
            journal.close()
    # All but the end.
    assert compared == len(undisturbed.views.keys() - {len(undisturbed.chains)})
    assert compared > len(undisturbed.decided) / 2


def _comes_back_the_same(journal: Journal, undisturbed: Undisturbed, count: int, clock: HandClock) -> bool:
    """Whether there was a picture to compare."""
    entries = stored_entries(journal, BATCH)
    run = fold(entries)
    assert run == fold(undisturbed.run.entries[:count])
    if run.ended:
        assert not open_batches(journal)
        return False
    assert open_batches(journal) == (BATCH,)
    keeper = resumed(journal, clock, "Ida", BATCH)
    assert isinstance(keeper.run.entries[-1].fact, ProgramResumed)
    session = Session(keeper, clock, None, Settings(hands_free_s=0))
    view = session.view()
    if count in undisturbed.views:
        before = undisturbed.views[count]
        assert view.question.ask == before.question.ask
        assert view.question.choices == before.question.choices
        assert (view.figure, view.pour, view.went_in, view.to_come, view.ratio) == (
            before.figure, before.pour, before.went_in, before.to_come, before.ratio,
        )  # fmt: skip
        assert (view.flags, view.clock, view.place) == (before.flags, before.clock, before.place)
    _goes_on_to_the_same_end(session, clock, undisturbed)
    return count in undisturbed.views


def _goes_on_to_the_same_end(session: Session, clock: HandClock, undisturbed: Undisturbed) -> None:
    """In memory, for the disk has shown what it had to show."""
    store = MemoryJournal()
    store.append(BATCH, [new_event(entry) for entry in session.run.entries])
    on = Session(Keeper(store, clock, "Ida", session.run), clock, None, Settings(hands_free_s=0))
    work(on, clock)
    assert on.run.ended == "finished"
    assert on.run.content == undisturbed.run.content
    weights = [entry.fact for entry in on.run.live if isinstance(entry.fact, WeightRecorded)]
    assert weights == [entry.fact for entry in undisturbed.run.live if isinstance(entry.fact, WeightRecorded)]
