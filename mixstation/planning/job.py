"""A job: which bucket is due, and what follows each stage at the desk."""

import time
from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from pathlib import Path

from mixstation.batch.events import Weighing
from mixstation.batch.run import fold
from mixstation.frozen import Frozen
from mixstation.planning.around import StockHeld
from mixstation.planning.kept import KeptPlan, keep_plan, new_plan_id, sheet_path
from mixstation.planning.orders import order_of, to_keep
from mixstation.planning.pages import bare_view
from mixstation.planning.stages import Between, Ended, Mixing, Stage
from mixstation.planning.talk import Planned, PlanTalk
from mixstation.record.codec import stored_entries
from mixstation.record.stored import EventStore, open_batches
from mixstation.station.bench import Bench
from mixstation.station.opening import begin, take_up
from mixstation.station.order import LastBatch, of_plan
from mixstation.station.view import Question
from mixstation.units.show import DisplayUnits
from mixstation.wording import planning as words
from mixstation.wording.like_lines import at_the_end, first_done
from mixstation.wording.plan_sections import plan_sections
from mixstation.wording.plan_sheet import plan_sheets


class Progress(Frozen):
    """How far a kept plan has come: buckets finished, and the newest open batch of each that has one."""

    finished: frozenset[int]
    open: Mapping[int, str]


def progress_of(store: EventStore, kept: KeptPlan) -> Progress:
    """How far a kept plan has come, by the batches that are named after it."""
    finished: set[int] = set()
    for row in store.batches():
        if f"-{kept.plan_id}-" in row.batch_id and "batch-finished" in _kinds(store, row.batch_id):
            finished.add(bucket_of(kept, row.batch_id))
    running = {bucket_of(kept, batch_id): batch_id for batch_id in reversed(open_batches(store))}
    running.pop(0, None)
    return Progress(finished=frozenset(finished - {0}), open=running)


def bucket_of(kept: KeptPlan, batch_id: str) -> int:
    """Which bucket of a plan a batch is; 0 for none of it."""
    numbers = range(1, len(kept.buckets) + 1)
    return next((n for n in numbers if batch_id.endswith(of_plan(kept.plan_id, n))), 0)


def _kinds(store: EventStore, batch_id: str) -> frozenset[str]:
    return frozenset(event.kind for event in store.events(batch_id))


class Job:
    """Makes each stage from the one before it. Used from one thread, the desk's."""

    def __init__(
        self,
        bench: Bench,
        *,
        plans: Path,
        units: DisplayUnits,
        stock: Callable[[], StockHeld | None],
        weighing: Weighing = "bucket",
        kept: KeptPlan | None = None,
        finished: Collection[int] = (),
        last_batch: LastBatch = "",
    ) -> None:
        """Take up a job.

        Args:
            bench: What stations are opened with; its `at_end` is called for each bucket.
            kept: The plan; None where it is still to be made.
            last_batch: See `Order`.
        """
        self._last_batch: LastBatch = last_batch
        self._bench = replace(bench, at_end=self._at_end)
        self._own_at_end = bench.at_end
        self._plans, self._units, self._stock, self._weighing = plans, units, stock, weighing
        self._kept = kept
        self._finished = set(finished)
        self._discarded = False
        self._told = ""
        self.changed: Callable[[], None] = lambda: None

    def mixing(self, number: int) -> Stage:
        """A new batch for a bucket.

        Raises:
            BatchesOpen: Another batch is open, and this one is not to be mixed beside it.
            JournalError: The journal could not be opened, or the start not be stored.
            StorageError: The stock could not be read.
        """
        assert self._kept is not None
        self._discarded = False
        order = order_of(self._kept, number, self._stock())
        station = begin(self._bench, replace(order, last_batch=self._last_batch))
        return Mixing(station, number, lambda: self.changed())

    def going_on(self, batch_id: str, number: int) -> Stage:
        """The batch of a bucket that was left open.

        Raises:
            JournalError: It could not be read.
        """
        self._discarded = False
        return Mixing(take_up(self._bench, batch_id), number, lambda: self.changed())

    def after(self, stage: Stage) -> Stage:
        """What follows a stage that is over.

        Raises:
            Exception: What follows could not be opened; the stage is then to stay.
        """
        match stage:
            case PlanTalk(planned=Planned() as planned):
                return self._planned(planned, mix=stage.wish == "mix")
            case Mixing():
                return self._mixed(stage)
            case Between(mixes=True):
                return self.mixing(stage.number)
            case Between() if self._kept is not None:
                later = words.NEXT_LATER.format(number=stage.number, plan_id=self._kept.plan_id)
                return Ended(bare_view(Question(ident="plan/later", ask=later)), parting=later)
            case _:
                return Ended(stage.view(), parting="")

    def _planned(self, planned: Planned, *, mix: bool) -> Stage:
        kept_plan = self.keep(planned)
        if mix:
            return self.mixing(1)
        kept = words.KEPT.format(plan_id=kept_plan.plan_id)
        where = (words.KEPT_SHEET.format(sheet=sheet_path(self._plans, kept_plan.plan_id)),)
        question = Question(ident="plan/kept", ask=kept, detail=where)
        return Ended(bare_view(question), parting="\n".join((kept, *where)))

    def keep(self, planned: Planned) -> KeptPlan:
        """Keep a plan with its weigh-out sheets.

        Raises:
            StorageError: It was not written.
        """
        # Asked for again because what came after failed: the same plan stays the same file.
        plan_id = new_plan_id(_now_ms()) if self._kept is None else self._kept.plan_id
        self._kept = to_keep(
            planned.plan,
            planned.loaded,
            plan_id=plan_id,
            made_ms=_now_ms(),
            units=self._units,
            weighing=self._weighing,
        )
        keep_plan(self._plans, self._kept, plan_sheets(plan_sections(planned.plan, self._units)))
        return self._kept

    def _mixed(self, stage: Mixing) -> Stage:
        assert self._kept is not None
        last = stage.view()
        if not self._discarded:
            self._finished.add(stage.number)
        count = len(self._kept.buckets)
        due = [number for number in range(1, count + 1) if number not in self._finished]
        if not due:
            parting = words.ALL_DONE.format(count=count, plan_id=self._kept.plan_id) if count > 1 else ""
            return Ended(last, parting=parting)
        number = stage.number if self._discarded else due[0]
        return Between(
            number=number,
            count=count,
            done=stage.number,
            again=self._discarded,
            notice=last.notice,
            title=last.title,
            told="" if self._discarded else self._told,
        )

    def _at_end(self, store: EventStore, batch_id: str) -> str:
        """Runs in the station's thread, which owns the journal."""
        self._discarded = "batch-discarded" in _kinds(store, batch_id)
        said = self._own_at_end(store, batch_id) if self._own_at_end is not None else ""
        # The next bucket is shown and weighed as this one was, also where it was gone on with.
        run, own = fold(stored_entries(store, batch_id)), self._bench.settings
        settings = own if run.settings is None else replace(run.settings, on_file=own.on_file)
        started = run.start
        first = started.like is None or not started.like.bucket_number
        self._told = first_done(started.bucket_number, run) if first else " ".join(at_the_end(run))
        self._bench = replace(self._bench, who=run.entries[-1].stamp.who, settings=settings)
        return said


def _now_ms() -> int:
    return time.time_ns() // 1_000_000
