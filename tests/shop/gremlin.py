"""What goes wrong with the scale, the line and the computer, and when it is well again."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random

from tests.shop.bench import Bench
from tests.shop.clock import ShopClock
from tests.shop.line import LINE_FAULTS, ShopLine
from tests.shop.shelf import ShopStore
from tests.shop.yard import Mood

SCALE_FAULTS = ("frozen", "unplugged", "unit-key", "other-steps", "vibration")
COMPUTER_FAULTS = (
    "killed-before",
    "killed-after",
    "machine-started-anew",
    "suspended",
    "clock-an-hour",
    "clock-a-day",
    "season",
    "disk-full",
    "read-only",
    "storage-failed",
    "second-instance",
)
HOUR_MS = 3_600_000


@dataclass(slots=True, kw_only=True)
class Gremlin:
    """Draws faults as time goes by.

    Attributes:
        happened: How often each fault was drawn.
        faults_left: How many more may be.
    """

    random: Random
    bench: Bench
    clock: ShopClock
    store: ShopStore
    line: Callable[[], ShopLine | None]
    clock_set: Callable[[int, int], None]
    second_instance: Callable[[], None]
    mood: Mood
    faults_left: int = 0
    happened: Counter[str] = field(default_factory=Counter)
    _mending: list[tuple[int, Callable[[], None]]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.faults_left = {"calm": 0, "slips": self.random.randint(0, 3), "wild": self.random.randint(3, 9)}[
            self.mood
        ]

    def step(self, ms: int) -> None:
        """So much time went by."""
        due = [mend for at_ms, mend in self._mending if at_ms <= self.clock.worked_ms]
        self._mending = [pair for pair in self._mending if pair[0] > self.clock.worked_ms]
        for mend in due:
            mend()
        if self.faults_left > 0 and self.random.random() < min(ms, 1_000) / 1000 / 45:
            self.faults_left -= 1
            line = self.line()
            kinds = COMPUTER_FAULTS if line is None else (*SCALE_FAULTS, *LINE_FAULTS, *COMPUTER_FAULTS)
            self._strike(self.random.choice(kinds), line)

    def _after(self, least_s: float, most_s: float, mend: Callable[[], None]) -> None:
        at_ms = self.clock.worked_ms + round(1000 * self.random.uniform(least_s, most_s))
        self._mending.append((at_ms, mend))

    def _strike(self, kind: str, line: ShopLine | None) -> None:
        self.happened[kind] += 1
        if kind in COMPUTER_FAULTS:
            self._computer(kind)
        elif line is not None and kind in LINE_FAULTS:
            line.fault = kind

            def well() -> None:
                line.fault = ""

            self._after(2, 15, well)
        else:
            self._scale(kind)

    def _scale(self, kind: str) -> None:
        bench, scale = self.bench, self.bench.scale
        match kind:
            case "frozen":
                scale.freeze()
                bench.disturbed += 1
                bench.blurred += 1

                def thaw() -> None:
                    scale.thaw()
                    bench.disturbed += 1
                    bench.blurred += 1

                self._after(2, 20, thaw)
            case "unplugged":
                scale.unplug()
                self._after(1, 40, scale.replug)
            case "unit-key":
                scale.press_unit()
            case "other-steps":
                step = self.random.choice((1, 2, 5))
                scale.change_division(3, step)
                # A line whose steps are not told apart passes for a finer one; in pounds a step is half as much.
                bench.coarsest_mg = max(bench.coarsest_mg, step * 1_000)
            case "vibration":
                scale.shake(40)
                self._after(3, 15, lambda: scale.shake(1))

    def _computer(self, kind: str) -> None:
        random, store, clock = self.random, self.store, self.clock
        match kind:
            case "killed-before" | "killed-after":
                store.kill_in = random.randint(0, 3)
                store.stored_before_kill = kind == "killed-after"
            case "machine-started-anew":
                store.kill_in = 0
                store.started_anew = True
            case "suspended":
                clock.sleep(random.randint(20, 900) * 1000)
            case "clock-an-hour":
                self.clock_set(random.choice((-1, 1)) * HOUR_MS, 0)
            case "clock-a-day":
                self.clock_set(random.choice((-24, 24)) * HOUR_MS, 0)
            case "season":
                self.clock_set(0, random.choice((-60, 60)))
            case "second-instance":
                self.second_instance()
            case _:
                store.trouble = kind

                def mended() -> None:
                    store.trouble = ""

                self._after(1, 90, mended)
