"""Checked after every event: what is stored, what it adds up to, and whether it may follow."""

import os
import random
import time
from dataclasses import dataclass, fields, replace
from fractions import Fraction
from typing import NoReturn
from unittest import mock

from mixstation.batch.events import (
    BatchDiscarded,
    BatchFinished,
    BatchStarted,
    ClockStepped,
    Entry,
    EntryTakenBack,
    FlagRaised,
    KeyPressed,
    NoteWritten,
    PortionTaken,
    ProgramResumed,
    ReferenceTaken,
    SafetyAcknowledged,
    ScaleChanged,
    StepBroughtForward,
    StepDone,
    StepSkipped,
    TubFilled,
    WeightRecorded,
)
from mixstation.batch.run import FoldError, Run, apply, fold
from mixstation.record.codec import new_event, read, written
from mixstation.record.stored import EventStore
from mixstation.station.keeper import Keeper
from tests.shop.broken import BrokenRuleError, hold
from tests.shop.ledger import Masses, neutral, tally, voided, water_ratio

_AFTER_THE_END = (NoteWritten, ScaleChanged, ClockStepped, ProgramResumed, FlagRaised)
_BEFORE_SAFETY = (*_AFTER_THE_END, BatchStarted, SafetyAcknowledged, BatchDiscarded)


def _refused(*_: object) -> NoReturn:
    raise BrokenRuleError("I17", "a replay asked for the time or for chance")


def _in_place(entries: tuple[Entry, ...]) -> list[Entry]:
    """The entries that count; a weight swapped for another material in the place of the one it was."""
    void = voided(entries)
    moved: dict[int, Entry] = {}
    for entry in reversed(entries):
        fact = entry.fact
        if isinstance(fact, EntryTakenBack) and entry.seq not in void and entry.seq < len(entries):
            was, now = entries[fact.seqs[0] - 1].fact, entries[entry.seq].fact
            if (
                isinstance(was, WeightRecorded)
                and isinstance(now, WeightRecorded)
                and now.step is None
                and (was.mass_mg, was.gross_mg, was.shown) == (now.mass_mg, now.gross_mg, now.shown)
            ):
                moved[fact.seqs[0]] = moved.pop(entry.seq + 1, entries[entry.seq])
    gone = {entry.seq for entry in moved.values()}
    placed = (moved.get(entry.seq, None if entry.seq in gone else entry) for entry in entries)
    return [entry for entry in placed if entry is not None and entry.seq not in void]


@dataclass(slots=True, kw_only=True)
class Circumstance:
    """What brought an event about.

    Attributes:
        by: "tick" or the name of what was pressed.
        typed: What was typed with it.
        question: Ident of the question that was answered, without its turn.
        ask: The words it was asked in.
    """

    by: str = "tick"
    typed: str = ""
    question: str = ""
    ask: str = ""


class EventAudit:
    """Looks at each entry as it is kept."""

    def __init__(self, store: EventStore) -> None:
        self.store = store
        self.entry_count = 0
        self._read: list[Entry] = []
        self._last_back: Run | None = None

    def decided(self, keeper: Keeper, new: tuple[Entry, ...], under_way: int) -> None:
        """A decision has just been kept.

        Args:
            keeper: As it is afterwards.
            new: Its entries.
            under_way: How many entries the store was last asked to take.
        """
        run = keeper.run
        hold("I19", [e.seq for e in run.entries] == list(range(1, len(run.entries) + 1)), "not gapless")
        hold("I19", run.entries[-len(new) :] == new, "the newest entries are others")
        self._disk_equals_memory(keeper, under_way)
        self._replays(keeper, new)

    def kept(self, run: Run, before: Run | None, entry: Entry, circumstance: Circumstance) -> None:
        """An entry of it.

        Args:
            run: The run with it.
            before: The run before it, None for the start.
            entry: The new entry.
            circumstance: What brought it about.
        """
        self.entry_count += 1
        self._sums_close(run)
        if before is not None:
            self._may_follow(before, entry, circumstance)
            self._water(before, run, entry, circumstance)
            self._how_known(entry, circumstance)
            self._start_reading(before, entry, circumstance)
            if isinstance(entry.fact, EntryTakenBack):
                self._restored(run)

    def resumed(self, run: Run) -> None:
        """The program started again: nothing is taken as read."""
        self._read = []
        hold("I14", len(run.entries) == len(self.store.events(run.start.batch_id)), "entries after a start")

    def _disk_equals_memory(self, keeper: Keeper, under_way: int) -> None:
        run, batch_id = keeper.run, keeper.run.start.batch_id
        stored = self.store.events(batch_id)
        held = len(keeper.held)
        # Of what is held the first decision may have gone through without the store being able to tell.
        acknowledged = len(run.entries) - held
        hold("I20", len(stored) in {acknowledged, acknowledged + min(held, under_way)}, "stored and held")
        for event in stored[len(self._read) :]:
            self._read.append(read(event.seq, event.body))
        for mine, its in zip(run.entries, self._read, strict=False):
            if mine is not its:
                hold("I20", mine == its, f"entry {mine.seq} on the disk is another")

    def _replays(self, keeper: Keeper, new: tuple[Entry, ...]) -> None:
        """From the disk's text, field by field; an event twice is refused, stored twice it is stored once."""
        run = keeper.run
        unstored = run.entries[len(self._read) :]
        read_back = [read(entry.seq, written(entry)) for entry in unstored]
        replayed = fold((*self._read, *read_back))
        for field in fields(Run):
            mine, its = getattr(run, field.name), getattr(replayed, field.name)
            hold("I16", mine == its, f"{field.name}: {mine!r} replays as {its!r}")
        newest = run.entries[-1]
        try:
            apply(run, newest)
        except FoldError:
            pass
        else:
            raise BrokenRuleError("I18", f"entry {newest.seq} could be applied twice")
        if not keeper.held:
            again = self.store.append_once(run.start.batch_id, [new_event(entry) for entry in new])
            hold("I18", again == self.store.events(run.start.batch_id)[-len(new) :], "stored twice")

    def _sums_close(self, run: Run) -> None:
        sums = tally(run.recipe, run.entries)
        hold("I1", dict(run.content) == sums.content, f"{dict(run.content)} but entries give {sums.content}")
        total = sum(run.content.values(), Fraction(0))
        hold("I1", total == sums.in_mg - sums.out_mg, "in less out is not what is in")
        hold("I2", all(mass >= 0 for mass in run.content.values()), f"negative: {dict(run.content)}")
        hold("I1", run.void == voided(run.entries), "other entries are void")

    def _may_follow(self, before: Run, entry: Entry, circumstance: Circumstance) -> None:
        fact, step = entry.fact, before.step
        hold("I24", not before.ended or isinstance(fact, _AFTER_THE_END), f"{fact.kind} after the end")
        hold(
            "I24",
            before.acknowledged or isinstance(fact, _BEFORE_SAFETY),
            f"{fact.kind} before the safety text",
        )
        at_hand = step.key if step is not None else None
        for_step = getattr(fact, "step", None)
        if isinstance(fact, WeightRecorded | TubFilled | PortionTaken | StepDone) and for_step is not None:
            hold("I24", for_step == at_hand, f"{fact.kind} for {for_step} while {at_hand} is at hand")
        if isinstance(fact, StepBroughtForward):
            hold("I24", fact.step not in before.finished, f"{fact.step} is done already")
        if isinstance(fact, StepSkipped):
            hold("I24", fact.reason.strip(), "left out without a reason")
        if isinstance(fact, BatchFinished):
            hold("I24", step is None, f"finished while {at_hand} is at hand")
        if isinstance(fact, WeightRecorded | BatchFinished | StepDone | StepSkipped | EntryTakenBack):
            hold(
                "I24",
                circumstance.by != "tick" or isinstance(fact, WeightRecorded | StepDone),
                f"{fact.kind} by itself",
            )

    def _water(self, before: Run, run: Run, entry: Entry, circumstance: Circumstance) -> None:
        """What takes the water over the ceiling was asked about."""
        fact = entry.fact
        if not isinstance(fact, WeightRecorded):
            return
        recipe = run.recipe
        full, full_before = _with_powders(run), _with_powders(before)
        ratio, ratio_before = water_ratio(recipe, full), water_ratio(recipe, full_before)
        if (
            ratio is None
            or ratio <= recipe.water.ceiling
            or (ratio_before is not None and ratio <= ratio_before)
        ):
            return
        asked = circumstance.question.startswith("type-again") or (
            circumstance.question.startswith(("confirm", "far-off")) and "ceiling" in circumstance.ask
        )
        hold("I12", asked, f"{float(ratio):.4f} over the ceiling, not asked about")

    def _how_known(self, entry: Entry, circumstance: Circumstance) -> None:
        fact = entry.fact
        if not isinstance(fact, WeightRecorded | TubFilled | PortionTaken):
            return
        hold("I2", fact.mass_mg > 0, f"{fact.kind} of {fact.mass_mg}")
        by_hand = bool(circumstance.typed.strip()) and circumstance.question.startswith(
            ("main/", "amount/", "which-")
        )
        if circumstance.by == "tick":
            hold("I28", fact.source == "scale", f"{fact.source} by itself")
        elif not circumstance.question.startswith(("confirm", "far-off", "type-again", "swap")):
            hold("I28", (fact.source == "typed") == by_hand, f"{fact.source}, typed {circumstance.typed!r}")
        if fact.source == "typed":
            hold(
                "I28",
                not isinstance(fact, WeightRecorded) or fact.gross_mg is None,
                "a typed weight has a gross",
            )

    def _start_reading(self, before: Run, entry: Entry, circumstance: Circumstance) -> None:
        """A bucket that is not as heavy as the entries say is asked about before its reading counts."""
        fact = entry.fact
        if not isinstance(fact, ReferenceTaken) or fact.weighing != "bucket":
            return
        tare: Fraction | None = None
        inside = Fraction(0)
        for old in _in_place(before.entries):
            if isinstance(old.fact, ReferenceTaken) and old.fact.weighing == "bucket":
                tare = old.fact.gross_mg - inside
            elif isinstance(old.fact, KeyPressed) and tare is not None:
                tare += old.fact.by_mg
            elif (mass := getattr(old.fact, "mass_mg", None)) and not isinstance(old.fact, TubFilled):
                inside += mass if isinstance(old.fact, WeightRecorded) else -mass
                if (
                    isinstance(old.fact, WeightRecorded)
                    and old.fact.weighing == "bucket"
                    and old.fact.gross_mg
                ):
                    tare = old.fact.gross_mg - inside
        if tare is None:
            return
        off = abs(fact.gross_mg - tare - inside)
        allowed = 3 * fact.division_mg + before.in_bucket_mg / 500
        hold(
            "I22",
            off <= allowed or circumstance.question.startswith("bucket-differs"),
            f"off by {float(off)} mg, not asked",
        )

    def _restored(self, run: Run) -> None:
        """As if what was taken back had never been; everything is still in the record."""
        without = fold(neutral(run.entries))
        for field in fields(Run):
            if field.name not in ("entries", "void"):
                mine, its = getattr(run, field.name), getattr(without, field.name)
                hold("I31", mine == its, f"{field.name}: {mine!r}, without it {its!r}")

    def no_outside(self, run: Run) -> None:
        """A replay under no clock, no chance and another place is the same."""
        with (
            mock.patch.multiple(
                time, time=_refused, monotonic=_refused, time_ns=_refused, localtime=_refused
            ),
            mock.patch.multiple(random, random=_refused, randint=_refused),
            mock.patch.dict(os.environ, {"TZ": "Pacific/Kiritimati", "LC_ALL": "tr_TR.UTF-8"}, clear=True),
        ):
            hold("I17", fold(run.entries) == replace(run), "replay differs")


def _with_powders(run: Run) -> Masses:
    """What is in, with the powders still to come."""
    masses = dict(run.content)
    for amount in run.aim.powders:
        if run.pending(amount.material):
            masses[amount.material] = max(masses[amount.material], amount.mass_mg * run.kept)
    return masses
