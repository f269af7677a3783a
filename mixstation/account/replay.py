"""A batch gone through entry by entry, so that each can be told with what was asked for at its moment."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from mixstation.account.say import exact_mass, when
from mixstation.batch import events as e
from mixstation.batch.advice import advise, stand
from mixstation.batch.flag import Flag
from mixstation.batch.moment import Moment, chemical_s
from mixstation.batch.run import Run, apply, fold
from mixstation.batch.targets import Projection, project
from mixstation.frozen import Frozen
from mixstation.units.show import DisplayUnits, show_clock
from mixstation.wording.words import Speech, weighed_on

# Choice: for a batch with neither a scale on file nor a weight.
_USUAL_DIVISION_MG = 1_000


class Kept(Frozen):
    """An entry with the batch before and after it, as it was known then."""

    entry: e.Entry
    before: Run
    after: Run


@dataclass(frozen=True, kw_only=True)
class Account:
    """A batch gone through.

    Attributes:
        run: The batch after its last entry.
        kept: Every entry but the start, in order.
        units: What masses and temperatures are written in.
        division_mg: Smallest step of mass worth writing where no scale's own is known.
    """

    run: Run
    kept: tuple[Kept, ...]
    units: DisplayUnits
    division_mg: int

    @property
    def speech(self) -> Speech:
        """How to say masses."""
        return Speech(units=self.units, division_mg=self.division_mg)

    def mass(self, mass_mg: Fraction | int, division_mg: int | None = None) -> str:
        """A mass: with every digit where it was weighed, to the division, its own if told, where worked out."""
        division_mg = division_mg or self.division_mg
        weighed = not any(isinstance(entry.fact, e.PortionTaken) for entry in self.run.live)
        if weighed and Fraction(mass_mg).denominator == 1:
            return exact_mass(int(mass_mg), self.units, division_mg)
        return Speech(units=self.units, division_mg=division_mg).mass(Fraction(mass_mg))

    @cached_property
    def planned(self) -> Projection:
        """Where the batch was to end, by what was still to come when it was last seen."""
        return project(self.run, self.division_mg)

    @cached_property
    def reached(self) -> Projection:
        """Where it ended: what is in counts, and nothing is still to come. For an open batch as `planned`."""
        if not self.run.ended:
            return self.planned
        through = frozenset(step.key for step in self.run.steps)
        return project(replace(self.run, finished=through), self.division_mg)

    @cached_property
    def flags(self) -> tuple[Flag, ...]:
        """Flags that stood just before the batch was closed or last seen, those a way out gave up included."""
        ends = (kept for kept in self.kept if isinstance(kept.entry.fact, e.BatchFinished | e.BatchDiscarded))
        end = next(ends, None)
        run, stamp = (end.before, end.entry.stamp) if end else (self.run, self.run.entries[-1].stamp)
        return self._flags(run, stamp)

    @cached_property
    def last_seen(self) -> Mapping[tuple[str, str], tuple[Run, Flag]]:
        """Each flag, by what it is and is about, as it was just before it went or the batch was closed or last seen.

        One that a reading alone brought is not among them: no reading is stored.
        """
        seen = {
            (flag.code, flag.about): (kept.before, flag)
            for kept in self.kept
            if not kept.before.ended
            for flag in self._flags(kept.before, kept.entry.stamp)
        }
        return seen | {(flag.code, flag.about): (self.run, flag) for flag in self.flags}

    def _flags(self, run: Run, at: e.Stamp) -> tuple[Flag, ...]:
        moment = Moment(utc_ms=at.utc_ms, boot_ms=at.boot_ms, mono_ms=at.mono_ms, boot_id=at.boot_id)
        return advise(stand(replace(run, gives_up=frozenset()), self.division_mg), moment, None).flags

    @cached_property
    def taken_back(self) -> Mapping[int, e.Entry]:
        """The entry that took each void entry back, by the latter's number."""
        found: dict[int, e.Entry] = {}
        for entry in self.run.live:
            if isinstance(entry.fact, e.EntryTakenBack):
                found |= {seq: entry for seq in entry.fact.seqs if seq in self.run.void and seq not in found}
        return found

    def since_water(self, entry: e.Entry) -> str:
        """The clock from the first water that counts; "" before it."""
        first = self.run.first_water
        if first is None or entry.seq < self._first_water_seq:
            return ""
        # What the wall clock was set by later stands in the first water's stamp already.
        ahead_ms = sum(by_ms for seq, by_ms in self._clock_steps if seq > entry.seq)
        stamp = replace(entry.stamp, utc_ms=entry.stamp.utc_ms + ahead_ms)
        return show_clock(chemical_s(first, stamp))

    @cached_property
    def _clock_steps(self) -> tuple[tuple[int, int], ...]:
        return tuple(
            (entry.seq, entry.fact.by_ms) for entry in self.run.live if isinstance(entry.fact, e.ClockStepped)
        )

    @cached_property
    def _first_water_seq(self) -> int:
        water = self.run.recipe.water_key
        return next(
            entry.seq
            for entry in self.run.live
            if isinstance(entry.fact, e.WeightRecorded) and entry.fact.material == water
        )

    def first_water_at(self) -> str:
        """Local date and time of the first water that counts, as its entry says it; "" before it."""
        if self.run.first_water is None:
            return ""
        return when(self.run.entries[self._first_water_seq - 1].stamp)


def account_of(entries: tuple[e.Entry, ...], units: DisplayUnits) -> Account:
    """Go through a batch.

    Args:
        entries: All of its entries, in order.
        units: What masses and temperatures are written in.

    Raises:
        FoldError: The entries cannot be a batch of ours.
    """
    whole = fold(entries)
    kept = []
    run = fold(entries[:1])
    for entry in entries[1:]:
        before, run = run, apply(run, entry)
        kept.append(Kept(entry=entry, before=before, after=run))
    return Account(run=whole, kept=tuple(kept), units=units, division_mg=division_of(whole))


def division_of(run: Run) -> int:
    """The finest division that was read on the main scale, milligrams; else that of the scale on file."""
    read = [
        entry.fact.division_mg
        for entry in run.live
        if isinstance(entry.fact, e.WeightRecorded | e.TubFilled)
        and (isinstance(entry.fact, e.TubFilled) or weighed_on(run, entry.fact) is None)
    ]
    on_file = run.start.scale.division_mg if run.start.scale is not None else _USUAL_DIVISION_MG
    return max(1, min(read, default=on_file))
