"""What the station costs: a tick, an answer until its view, a long batch; against a bare thread with a queue.

Run by hand: python -m tests.benchmarks.station
"""

import queue
import statistics
import tempfile
import threading
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path

from mixstation.scale.emulator import EmulatedScale
from mixstation.station.opening import begin
from mixstation.station.station import STILL_S, TICK_S
from mixstation.station.view import Answer, Desk
from mixstation.wording import menu_lines
from tests.station.mixer import mix
from tests.station.real import bench, order
from tests.station.recipes import quick
from tests.station.yard import BUCKET_MG, QUIET, Yard

TURN_COUNT = 200
EVENT_COUNT = 300


def median_ms(work: Callable[[], object], count: int = TURN_COUNT) -> float:
    times_s = []
    for _ in range(count):
        begun_s = time.perf_counter()
        work()
        times_s.append(time.perf_counter() - begun_s)
    return 1000 * statistics.median(times_s)


class Bare:
    """A thread that hands back whatever it is given, and tells of it."""

    def __init__(self) -> None:
        self._inbox: queue.SimpleQueue[object] = queue.SimpleQueue()
        self._told = threading.Event()
        threading.Thread(target=self._run, daemon=True).start()

    def _run(self) -> None:
        while self._inbox.get() is not None:
            self._told.set()

    def turn(self) -> None:
        self._told.clear()
        self._inbox.put(1)
        self._told.wait()


class Turn:
    """An answer, until the view that comes of it."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._told = threading.Event()
        desk.watch(self._told.set)

    def __call__(self, pressed: str, typed: str = "") -> None:
        before = self._desk.view()
        self._desk.answer(Answer(question=before.question.ident, pressed=pressed, typed=typed))
        while self._desk.view().answered == before.answered:
            self._told.wait()
            self._told.clear()


def ticks() -> None:
    typed = Yard(quick())
    typed.put_gear_on()
    scale = EmulatedScale(QUIET, seed=1)
    pouring = Yard(quick(), scale=scale)
    pouring.bucket_on()
    scale.pour(1_000)
    for name, yard, every_s in (("typed", typed, STILL_S), ("pouring", pouring, TICK_S)):

        def look(yard: Yard = yard) -> None:
            yard.session.tick()
            yard.session.view()

        look_ms = median_ms(look)
        share = look_ms / 1000 / every_s
        print(
            f"tick and view, {name:8} {look_ms:7.2f} ms, {share:6.1%} of a core at {1 / every_s:.0f} a second"
        )

    def follow() -> None:
        pouring.clock.go_on(TICK_S)
        pouring.session.tick()
        pouring.session.view()

    emulated_ms = median_ms(lambda: scale.advance(TICK_S))
    print(
        f"the same with new readings {median_ms(follow):7.2f} ms, of it the emulated scale {emulated_ms:.2f} ms"
    )


def answers() -> None:
    bare_ms = median_ms(Bare().turn)
    with tempfile.TemporaryDirectory() as folder:
        desk = begin(bench(Path(folder)), order())
        turn = Turn(desk)
        turn("enter")

        def menu_and_back() -> None:
            turn("menu")
            turn("back")

        asked_ms = median_ms(menu_and_back) / 2

        def add_a_gram() -> None:
            turn("add-else")
            turn("enter", "1")
            turn("enter", "1 g")

        stored_ms = median_ms(add_a_gram, 60)
        desk.stop()
    print(
        f"answer to view, nothing stored {asked_ms:6.2f} ms, {asked_ms / bare_ms:5.0f} x a bare thread with a queue"
    )
    print(
        f"three answers, one stored      {stored_ms:6.2f} ms, so {stored_ms - 2 * asked_ms:.2f} ms for the stored one"
    )


def memory() -> None:
    yard = Yard(quick())
    yard.put_gear_on()
    tracemalloc.start()
    before, _ = tracemalloc.get_traced_memory()
    kept = [{"seq": number, "text": f"note {number}"} for number in range(EVENT_COUNT)]
    bare = tracemalloc.get_traced_memory()[0] - before
    before, _ = tracemalloc.get_traced_memory()
    while len(yard.facts) < EVENT_COUNT - 30:
        yard.press("menu")
        yard.pick(menu_lines.NOTE_LINE)
        yard.press(typed=f"note {len(yard.facts)}")
    mix(yard, verdict="too stiff")
    held = tracemalloc.get_traced_memory()[0] - before
    tracemalloc.stop()
    count = len(yard.facts)
    print(f"{count} events: {held / 1024:.0f} KiB with the store in memory, {held / count:.0f} bytes an event, "
          f"{held / bare * len(kept) / count:.0f} x a list of small dictionaries")  # fmt: skip
    look_ms = median_ms(lambda: (yard.session.tick(), yard.session.view()))
    print(f"tick and view after them {look_ms:.2f} ms")


if __name__ == "__main__":
    print(f"bucket {BUCKET_MG / 1e6:.2f} kg, a scale that sends 10 readings a second")
    ticks()
    answers()
    memory()
