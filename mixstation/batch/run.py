"""One bucket's batch as it stands: the facts folded, in order, with those taken back left out.

Rules: `fold` is total over stored batches: it gives a run or raises `FoldError`; it reads no clock and nothing
outside its arguments; the same entries give an equal run. `content` is exact (fractions of a milligram appear
only when a portion of the mixed bucket is taken out).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import assert_never

from mixstation.batch.events import (
    Aim,
    BatchDiscarded,
    BatchFinished,
    BatchPaused,
    BatchStarted,
    BatchTakenUp,
    ClockStepped,
    ConsistencyJudged,
    Entry,
    EntryTakenBack,
    Fact,
    FlagRaised,
    MaterialRemoved,
    NoteWritten,
    PortionTaken,
    ProgramResumed,
    ReferenceTaken,
    SafetyAcknowledged,
    ScaleChanged,
    Stamp,
    StepBroughtForward,
    StepDone,
    StepSkipped,
    SupplyRanOut,
    TemperatureTaken,
    TimerStarted,
    TubFilled,
    WayTaken,
    Weighing,
    WeighingChanged,
    WeightRecorded,
)
from mixstation.recipe.model import AddStep, MixStep, Recipe, ReleaseStep, Step


class FoldError(ValueError):
    """Stored entries that cannot be a batch of ours.

    Attributes:
        code: "no-start", "started-twice", "gap", "unknown-material" or "unknown-step".
        seq: The entry at fault.
    """

    def __init__(self, code: str, seq: int) -> None:
        super().__init__(f"{code} at entry {seq}")
        self.code = code
        self.seq = seq


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOutStep:
    """Take something out, because a way out asks for it.

    Attributes:
        material: Plain water to pour back, or "" for a portion of the mixed bucket.
        mass_mg: How much, above 0.
    """

    key: str
    material: str
    mass_mg: int


RunStep = Step | TakeOutStep


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """The state of a batch.

    Attributes:
        entries: Everything stored, the taken-back entries included.
        void: Sequence numbers of entries that no longer count.
        start: The start fact.
        steps: The recipe's steps, with those a way out put in.
        aim: What is steered to.
        kept: What is left of the powders aimed at, after portions taken out: 0 < kept <= 1.
        content: Weighed mass in the bucket by material, milligrams.
        weighing: Which vessel stands on the scale.
        acknowledged: The safety text is behind the mixer.
        finished: Keys of steps done or skipped.
        skipped: Why, for those skipped.
        forward: The step the mixer went to ahead of the order, or "".
        references: What stood on the scale before the pour, by step; gone once the pour is booked.
        tub: A tub filled and not yet tipped in, or None.
        timers: When each step's timer started.
        done_at: When each step was done.
        first_water: When the first water went in.
        paused: The mixer is away.
        ran_out: Materials of which there is no more.
        judged: The latest judgement of the consistency.
        judged_at: Its sequence number; 0 if none.
        mix_milli_c: The latest temperature of the mix.
        raised: (code, about) of every flag put before the mixer.
        gives_up: Flag codes a way out knowingly left standing.
        ended: "", "finished" or "discarded".
    """

    entries: tuple[Entry, ...]
    start: BatchStarted
    steps: tuple[RunStep, ...]
    aim: Aim
    content: Mapping[str, Fraction]
    weighing: Weighing
    void: frozenset[int] = frozenset()
    kept: Fraction = Fraction(1)
    acknowledged: bool = False
    finished: frozenset[str] = frozenset()
    skipped: Mapping[str, str] = field(default_factory=dict)
    forward: str = ""
    references: Mapping[str, ReferenceTaken] = field(default_factory=dict)
    tub: TubFilled | None = None
    timers: Mapping[str, Stamp] = field(default_factory=dict)
    done_at: Mapping[str, Stamp] = field(default_factory=dict)
    first_water: Stamp | None = None
    paused: bool = False
    ran_out: frozenset[str] = frozenset()
    judged: ConsistencyJudged | None = None
    judged_at: int = 0
    mix_milli_c: int | None = None
    raised: frozenset[tuple[str, str]] = frozenset()
    gives_up: frozenset[str] = frozenset()
    ended: str = ""

    @property
    def recipe(self) -> Recipe:
        """The recipe the batch was started with."""
        return self.start.recipe

    @property
    def step(self) -> RunStep | None:
        """The step to do now, or None when all are through."""
        if self.forward:
            return self.step_of(self.forward)
        return next((step for step in self.steps if step.key not in self.finished), None)

    def step_of(self, key: str) -> RunStep:
        """The step of that key.

        Raises:
            KeyError: There is none.
        """
        for step in self.steps:
            if step.key == key:
                return step
        raise KeyError(key)

    @property
    def in_bucket_mg(self) -> Fraction:
        """Mass of everything in the bucket, milligrams."""
        return sum(self.content.values(), Fraction(0))

    @property
    def live(self) -> tuple[Entry, ...]:
        """The entries that count."""
        return tuple(entry for entry in self.entries if entry.seq not in self.void)

    def due(self, material: str) -> Fraction:
        """Share of a material's total that the steps behind us should have put in, 0 to 1."""
        share = Fraction(0)
        for step in self.steps:
            if step.key in self.finished and step.key not in self.skipped:
                if isinstance(step, AddStep) and step.material == material:
                    share = max(share, step.cumulative)
                elif isinstance(step, ReleaseStep) and step.material == material:
                    share = Fraction(1)
        return share

    def pending(self, material: str) -> bool:
        """Whether a step still to come (or now at hand) adds this material."""
        return material not in self.ran_out and any(
            step.key not in self.finished
            for step in self.steps
            if isinstance(step, AddStep | ReleaseStep) and step.material == material
        )


def fold(entries: Iterable[Entry]) -> Run:
    """Replay a stored batch.

    Args:
        entries: All of a batch's entries, in order of `seq`.

    Returns:
        The state after the last entry.

    Raises:
        FoldError: The entries cannot be a batch of ours.
    """
    stored = tuple(entries)
    if not stored or not isinstance(stored[0].fact, BatchStarted):
        raise FoldError("no-start", stored[0].seq if stored else 0)
    for place, entry in enumerate(stored, start=1):
        if entry.seq != place:
            raise FoldError("gap", entry.seq)
    return _replay(stored)


def apply(run: Run, entry: Entry) -> Run:
    """The state after one more entry; equal to folding everything anew.

    Raises:
        FoldError: The entry cannot follow.
    """
    if entry.seq != len(run.entries) + 1:
        raise FoldError("gap", entry.seq)
    entries = (*run.entries, entry)
    if isinstance(entry.fact, EntryTakenBack):
        return _replay(entries)
    return _after(replace(run, entries=entries), entry)


def _voided(entries: tuple[Entry, ...]) -> frozenset[int]:
    """Entries no longer counted: read from the newest back, a void taking-back voids nothing."""
    void: set[int] = set()
    for entry in reversed(entries):
        if isinstance(entry.fact, EntryTakenBack) and entry.seq not in void:
            void.update(seq for seq in entry.fact.seqs if 1 < seq < entry.seq)
    return frozenset(void)


def _replay(entries: tuple[Entry, ...]) -> Run:
    start = entries[0].fact
    assert isinstance(start, BatchStarted)
    void = _voided(entries)
    run = Run(
        entries=entries,
        void=void,
        start=start,
        steps=start.recipe.steps,
        aim=start.aim,
        content={material.key: Fraction(0) for material in start.recipe.materials},
        weighing=start.weighing,
    )
    for entry in entries[1:]:
        if entry.seq not in void:
            run = _after(run, entry)
    return run


def _after(run: Run, entry: Entry) -> Run:
    """Fold in one entry that counts."""
    fact: Fact = entry.fact
    _refuse_strangers(run, entry)
    match fact:
        case BatchStarted():
            raise FoldError("started-twice", entry.seq)
        case SafetyAcknowledged():
            return replace(run, acknowledged=True)
        case ReferenceTaken():
            return replace(run, references={**run.references, fact.step: fact})
        case TubFilled():
            return replace(run, tub=fact)
        case WeightRecorded():
            return _weight_in(run, fact, entry.stamp)
        case MaterialRemoved():
            left = max(Fraction(0), run.content[fact.material] - fact.mass_mg)
            return replace(run, content={**run.content, fact.material: left}, references={})
        case PortionTaken():
            return _portion_out(run, fact)
        case TimerStarted():
            return replace(run, timers={**run.timers, fact.step: entry.stamp})
        case StepDone():
            done_at = {**run.done_at, fact.step: entry.stamp}
            return replace(_finish(run, fact.step), done_at=done_at)
        case StepSkipped():
            return replace(_finish(run, fact.step), skipped={**run.skipped, fact.step: fact.reason})
        case StepBroughtForward():
            return replace(run, forward=fact.step, references={}, tub=None)
        case ConsistencyJudged():
            return replace(run, judged=fact, judged_at=entry.seq)
        case TemperatureTaken():
            return replace(run, mix_milli_c=fact.mix_milli_c)
        case BatchPaused():
            return replace(run, paused=True)
        case BatchTakenUp():
            return replace(run, paused=False)
        case WeighingChanged():
            return replace(run, weighing=fact.weighing, references={}, tub=None)
        case SupplyRanOut():
            return replace(run, ran_out=run.ran_out | {fact.material})
        case WayTaken():
            return _way_in(run, fact, entry.seq)
        case FlagRaised():
            return replace(run, raised=run.raised | {(fact.code, fact.about)})
        case EntryTakenBack() | ScaleChanged() | NoteWritten() | ProgramResumed() | ClockStepped():
            return run
        case BatchFinished():
            return replace(run, ended="finished")
        case BatchDiscarded():
            return replace(run, ended="discarded")
        case _ as forgotten:
            assert_never(forgotten)


def _refuse_strangers(run: Run, entry: Entry) -> None:
    material = getattr(entry.fact, "material", "")
    if material and material not in run.content:
        raise FoldError("unknown-material", entry.seq)
    key = getattr(entry.fact, "step", None)
    if key and all(step.key != key for step in run.steps):
        raise FoldError("unknown-step", entry.seq)


def _finish(run: Run, key: str) -> Run:
    forward = "" if run.forward == key else run.forward
    references = {step: reference for step, reference in run.references.items() if step != key}
    return replace(run, finished=run.finished | {key}, forward=forward, references=references, tub=None)


def _weight_in(run: Run, fact: WeightRecorded, stamp: Stamp) -> Run:
    content = {**run.content, fact.material: run.content[fact.material] + fact.mass_mg}
    is_water = fact.material == run.recipe.water_key
    first = run.first_water or (stamp if is_water else None)
    return replace(run, content=content, first_water=first, references={}, tub=None)


def _portion_out(run: Run, fact: PortionTaken) -> Run:
    whole = run.in_bucket_mg
    left = Fraction(1) - min(Fraction(1), Fraction(fact.mass_mg) / whole) if whole else Fraction(1)
    asked_by_way = fact.step is not None and isinstance(run.step_of(fact.step), TakeOutStep)
    return replace(
        run,
        content={key: mass * left for key, mass in run.content.items()},
        kept=run.kept if asked_by_way else run.kept * left,
        references={},
    )


def _way_in(run: Run, fact: WayTaken, seq: int) -> Run:
    """Put a way's own steps before the step at hand and steer to its aim."""
    put_in: list[RunStep] = []

    def key() -> str:
        return f"way{seq}.{len(put_in) + 1}"

    if fact.pour_back_mg:
        put_in.append(TakeOutStep(key=key(), material=run.recipe.water_key, mass_mg=fact.pour_back_mg))
    if fact.scoop_mg:
        put_in.append(TakeOutStep(key=key(), material="", mass_mg=fact.scoop_mg))
    for material in fact.make_up:
        due = run.due(material)
        put_in.append(AddStep(key=key(), material=material, share=Fraction(0), cumulative=due))
    if fact.mix_s:
        put_in.append(MixStep(key=key(), min_s=fact.mix_s, max_s=3 * fact.mix_s, speed="slow"))
    now = run.step
    place = len(run.steps) if now is None else run.steps.index(now)
    return replace(
        run,
        steps=(*run.steps[:place], *put_in, *run.steps[place:]),
        aim=fact.aim,
        kept=Fraction(1),
        forward="",
        references={},
        tub=None,
        gives_up=run.gives_up | set(fact.gives_up),
    )
