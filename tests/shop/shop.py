"""One seed: a whole batch mixed through the session by the simulated person, everything checked as it goes."""

import contextlib
import hashlib
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from random import Random
from unittest import mock

from mixstation.batch.events import BatchFinished, Entry, Fact, ReferenceTaken, WayTaken
from mixstation.batch.run import Run, apply, fold
from mixstation.batch.way import Way
from mixstation.record.codec import stored_entries, written
from mixstation.record.errors import JournalError
from mixstation.record.journal import Journal
from mixstation.record.stored import EventStore
from mixstation.scale.emulator import EmulatedScale
from mixstation.station import opening
from mixstation.station.bench import Settings
from mixstation.station.keeper import Keeper
from mixstation.station.session import Session
from mixstation.station.view import Answer, View
from mixstation.station.watch import ScaleWatch
from tests.record.memory_journal import MemoryJournal
from tests.shop.audit_account import AccountAudit
from tests.shop.audit_events import Circumstance, EventAudit
from tests.shop.audit_resume import same_as_left
from tests.shop.audit_truth import TruthAudit, conceded, way_leads_inside, ways_fit
from tests.shop.audit_views import Seen, ViewAudit
from tests.shop.bench import Bench
from tests.shop.broken import BrokenRuleError, hold
from tests.shop.clock import ShopClock
from tests.shop.gremlin import Gremlin
from tests.shop.line import ShopLine
from tests.shop.outcome import Outcome
from tests.shop.person import MOST_ANSWERS, Person
from tests.shop.shelf import Killed, ShopStore
from tests.shop.twin import has_twin, second_bucket
from tests.shop.yard import Mood, Setup, setup

# Simulated time between two ticks: fine while something moves on the scale, coarse in a long wait.
FINE_MS, NEAR_MS, COARSE_MS, LONG_MS = 250, 500, 2_000, 20_000
# What is older than this does not say what is on the scale now.
OLDEST_S = 5.0
MOST_ENTRIES = 3_000
"""One batch holds a bounded number of entries, whatever is pressed."""


class WatchedKeeper(Keeper):
    """Shows each decision to the audits as soon as it is kept, and then each entry of it."""

    shop: "Shop"

    def keep(self, *facts: Fact) -> None:
        before = self.run
        super().keep(*facts)
        self.shop.decided(self, before)


class Shop:
    """Everything of one seed."""

    def __init__(
        self, seed: int, mood: Mood | None = None, folder: Path | None = None, twin: Setup | None = None
    ) -> None:
        self.seed = seed
        self.random = Random(seed)
        self.setup: Setup = twin or setup(seed, self.random, mood)
        self.twin: Setup | None = None
        start = self.setup.start
        self.clock = ShopClock()
        make = self.setup.make
        scale = EmulatedScale(make, seed=seed) if make is not None else EmulatedScale()
        names = {material.key: material.name for material in start.recipe.materials}
        self.bench = Bench(scale, names, self.setup.bucket_mg)
        self.folder = folder if self.setup.on_disk else None
        inner: EventStore = Journal.open(self.folder) if self.folder is not None else MemoryJournal()
        self.store = ShopStore(inner, Random(seed + 1))
        self.events = EventAudit(inner)
        self.views = ViewAudit()
        self.truth = TruthAudit(self.bench, self.setup)
        self.account = AccountAudit(self.bench)
        self.line: ShopLine | None = None
        self.circumstance = Circumstance()
        self.drawn: Counter[str] = Counter()
        self.gremlin = Gremlin(
            random=Random(seed + 2),
            bench=self.bench,
            clock=self.clock,
            store=self.store,
            line=lambda: self.line,
            clock_set=self.set_clock,
            second_instance=self.second_instance,
            mood=self.setup.mood,
        )
        self.trail = hashlib.sha256()
        self.answer_count = 0
        self.ways_seen: tuple[Way, ...] = ()
        self.kill_count = 0
        # The program makes keepers of its own when a batch is taken up.
        self.kind_of_keeper = type("KeeperOfThisShop", (WatchedKeeper,), {"shop": self})
        self.keeper = self._begin()
        self.session = self._open()
        self.view = self._look()

    def run(self) -> Outcome:
        """Mix the batch.

        Raises:
            BrokenRuleError: An invariant did not hold.
        """
        person = Person(self, self.setup, self.random)
        with contextlib.closing(person.live()) as living:
            for seconds in living:
                self._wait(round(seconds * 1000))
        hold("I9", self.view.ended, f"not ended after {MOST_ANSWERS} looks: {self.view.question.ident}")
        self.store.trouble = ""
        self._wait(2_000)
        run = self.keeper.run
        hold("I14", len(self.keeper.held) == 0, "entries held though storage is back")
        self.truth.ended(run)
        faults = self.store.inner.audit(run.start.batch_id)
        hold("I19", not faults, f"chain: {faults}")
        self.events.no_outside(run)
        for entry in run.entries:
            self.trail.update(written(entry).encode())
        self.session.close()
        if has_twin(self.seed) and run.start.bucket_number == 1:
            self.twin = second_bucket(self.setup, run, self.store.inner)
        self.store.inner.close()
        return Outcome(
            seed=self.seed,
            mood=self.setup.mood,
            hash=self.trail.hexdigest(),
            ended=run.ended,
            entry_count=len(run.entries),
            view_count=self.views.view_count,
            faults=self.gremlin.happened + self.drawn,
            codes=Counter(code for code, _ in run.raised),
        )

    def drew(self, fault: str) -> None:
        self.drawn[fault] += 1

    def answer(self, answer: Answer) -> None:
        """Keys, for what is shown at this moment; an answer to something else must change nothing."""
        self.answer_count += 1
        view = self._look()
        self.trail.update(repr((answer, view)).encode())
        question = view.question
        self.circumstance = Circumstance(
            by=answer.pressed, typed=answer.typed, question=question.ident.split("/", 1)[1], ask=question.ask
        )
        before = self.keeper.run
        with self._guard():
            self.session.answer(answer)
        if answer.question != question.ident:
            hold("I22", self.keeper.run is before, f"an answer to {answer.question} changed something")
        self.circumstance = Circumstance()
        self.view = self._look()

    def decided(self, keeper: Keeper, before: Run) -> None:
        """Each decision, as it is kept, and each of its entries in order."""
        new = keeper.run.entries[len(before.entries) :]
        self.events.decided(keeper, new, len(self.store.under_way))
        for entry in new:
            run = keeper.run if entry is new[-1] else apply(before, entry)
            self._kept(run, before, entry)
            before = run

    def _kept(self, run: Run, before: Run, entry: Entry) -> None:
        hold("I34", entry.seq < MOST_ENTRIES, "entries without end")
        serial = counted_mg = 0
        if self.line is not None and (newest := self.line.latest()) is not None:
            serial = newest.serial
            if isinstance(entry.fact, ReferenceTaken) and self.circumstance.question.startswith(
                ("bucket-differs", "set-down")
            ):
                counted_mg = (newest.mass_mg or 0) - entry.fact.gross_mg
            at_once = self.circumstance.question.startswith("main/") or self.circumstance.by == "tick"
            if at_once and getattr(entry.fact, "source", "") == "scale":
                age_s = self.clock.mono_s() - newest.at_s
                hold("I21", age_s <= OLDEST_S, f"a reading of {age_s:.1f} s ago is booked")
        self.events.kept(run, before, entry, self.circumstance)
        if isinstance(entry.fact, BatchFinished):
            conceded(before, entry.fact, self._division_mg())
        worked_ms = self.clock.worked_ms
        self.account.kept(
            run,
            before,
            entry,
            told=self.circumstance,
            counted_mg=counted_mg,
            worked_ms=worked_ms,
            allowed_mg=self.truth.allowed_mg(getattr(entry.fact, "division_mg", 0), 60_000),
        )
        self.truth.kept(
            run,
            entry,
            serial=serial,
            counted_mg=counted_mg,
            worked_ms=worked_ms,
            by=self.circumstance.by,
        )
        if isinstance(entry.fact, WayTaken):
            way_leads_inside(run, entry.fact, self._division_mg())

    def set_clock(self, by_ms: int, zone_by_min: int) -> None:
        """The wall clock is set; what is advised is the same before and after."""
        with self._guard():
            self.session.tick()
        before, kill_count = self._look(), self.kill_count
        self.clock.set_wall(by_ms, zone_by_min)
        with self._guard():
            self.session.tick()
        after = self._look()
        if self.kill_count == kill_count:
            hold("I26", _advised(before) == _advised(after), "the clock was set and the advice is another")

    def second_instance(self) -> None:
        """Somebody starts the program twice."""
        if self.folder is None:
            return
        stored = self.store.events(self.setup.start.batch_id)
        try:
            other = Journal.open(self.folder)
        except JournalError as error:
            hold("I27", error.code == "in-use", f"refused with {error.code}")
        else:
            other.close()
            raise BrokenRuleError("I27", "a second instance could open the journal for writing")
        hold("I27", self.store.events(self.setup.start.batch_id) == stored, "the second instance wrote")

    def _begin(self) -> Keeper:
        keeper = self.kind_of_keeper.begin(self.store, self.clock, "Mara", self.setup.start)  # type: ignore[arg-type]
        self.events.decided(keeper, keeper.run.entries, len(self.store.under_way))
        self.events.kept(keeper.run, None, keeper.run.entries[0], self.circumstance)
        return keeper

    def _open(self) -> Session:
        watch = None
        if self.setup.make is not None:
            steps = {display.unit: display.step for display in self.setup.make.displays}
            profile = replace(self.setup.profile, last_digit_step=steps)
            self.line = ShopLine(
                self.bench.scale, profile, self.clock.mono_s, self.setup.rate_hz, self.random
            )
            watch = ScaleWatch(self.line)
        return Session(self.keeper, self.clock, watch, self._settings())

    def _start_again(self) -> None:
        """After a kill: what was acknowledged is there, at most one decision more, and the batch goes on."""
        self.kill_count += 1
        self.store.trouble, self.store.kill_in = "", None
        if self.keeper.held:
            # What was shown as not saved is gone, and the person does not go through it all again.
            self.bench.mix_untold = True
        batch_id = self.setup.start.batch_id
        acknowledged = [event.body for event in self.store.acknowledged]
        known_count = self.truth.entry_count
        if self.store.started_anew:
            self.store.started_anew = False
            self.clock.start_anew(60_000)
        if self.folder is not None:
            self.store.inner.close()
            self.store.inner = self.events.store = Journal.open(self.folder)
        stored = [event.body for event in self.store.events(batch_id)]
        hold("I14", stored[: len(acknowledged)] == acknowledged, "an acknowledged entry is gone or another")
        more = [event.body for event in self.store.under_way if event.seq > len(acknowledged)]
        untold = stored[len(acknowledged) :]
        hold("I15", untold in ([], more), "more than one decision nobody was told of, or a part of one")
        self.store.acknowledged = list(self.store.events(batch_id))
        before = fold(stored_entries(self.store, batch_id))
        self.events.resumed(before)
        self.views.forget()
        self.account.forget()
        self.truth.resumed(before, known_count, self.clock.worked_ms)
        self.circumstance = Circumstance(by="taking up")
        with mock.patch.object(opening, "Keeper", self.kind_of_keeper):
            # With no option said, and a settings file that says nothing.
            keeper = opening.resumed(self.store, self.clock, "", batch_id, Settings())
        self.circumstance = Circumstance()
        assert isinstance(keeper, WatchedKeeper)
        self.keeper = keeper
        same_as_left(before, keeper.run, self.setup.settings, self.store, self.clock)
        self.line = None
        self.session = self._open()

    def _settings(self) -> Settings:
        """What the batch at hand is shown and weighed with."""
        return self.keeper.run.settings or Settings()

    def _wait(self, ms: int) -> None:
        while ms > 0:
            near = FINE_MS if self.bench.pouring else NEAR_MS
            step = min(ms, near if ms < 4_000 else COARSE_MS if ms < 40_000 else LONG_MS)
            ms -= step
            self.clock.go(step)
            self.gremlin.step(step)
            before = self.keeper.run
            with self._guard():
                self.session.tick()
            if ms <= 0 or self.keeper.run is not before:
                self.view = self._look()

    @contextlib.contextmanager
    def _guard(self) -> Iterator[None]:
        """No exception reaches the screen; a kill starts the program again."""
        try:
            yield
        except Killed:
            self.circumstance = Circumstance()
            while True:
                try:
                    self._start_again()
                    return
                except Killed:
                    continue
        except BrokenRuleError:
            raise
        except Exception as error:
            raise BrokenRuleError("I34", f"{type(error).__name__}: {error}") from error

    def _look(self) -> View:
        """The view a front end would have now, checked."""
        view = self.session.view()
        scene, moment = self.session._scene(), self.session._work.moment
        self._ways_fit()
        held = len(self.keeper.held)
        hold("I20", bool(held) == view.saved_grave, f"{held} entries held, shown: {view.saved}")
        allowed_mg = self.truth.allowed_mg(scene.advice.standing.division_mg, 60_000)
        self.account.shown(view, scene.advice.standing, scene.advice.net, allowed_mg=allowed_mg)
        self.views.shown(
            Seen(
                view=view,
                advice=scene.advice,
                mono_ms=moment.mono_ms,
                boot_ms=moment.boot_ms,
                boot_id=moment.boot_id,
            )
        )
        return view

    def _ways_fit(self) -> None:
        """Ways are looked at when they come up: what is shown does not change under the hand."""
        ways = self.session._ways or ()
        if ways is not self.ways_seen:
            self.ways_seen = ways
            ways_fit(self.keeper.run, ways, self._division_mg())

    def _division_mg(self) -> int:
        readings = self.line.recent() if self.line is not None else ()
        for reading in reversed(readings):
            if reading.mass_mg is not None:
                return reading.division_mg
        on_file = self.setup.start.scale
        return on_file.division_mg if on_file is not None else self.setup.settings.division_mg


def _advised(view: View) -> tuple[object, ...]:
    """What a wall clock must not touch."""
    return (view.question.ask, view.figure, view.pour, view.ratio, view.flags, view.clock, view.countdown)


def run_seed(seed: int, mood: Mood | None = None) -> Outcome:
    """One seed.

    Raises:
        BrokenRuleError: An invariant did not hold.
    """
    with tempfile.TemporaryDirectory(prefix="shop-") as folder:
        shop = Shop(seed, mood, Path(folder))
        outcome = shop.run()
        if shop.twin is not None:
            second = Shop(seed, mood, Path(folder) / "second", shop.twin).run()
            outcome.faults["twin-bucket"] += 1
            outcome.codes.update(second.codes)
        return outcome
