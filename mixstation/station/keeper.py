"""Keeps a batch: each decision is on the disk before it is in the run, and the run never waits for a lost disk.

The facts of one decision are stored together, all or none. When storage stays away they are held in memory, marked
late, and written in order when it is back.
"""

from collections import deque
from dataclasses import replace
from typing import Final

from mixstation.batch.events import BatchStarted, Entry, Fact
from mixstation.batch.run import Run, apply, fold
from mixstation.record.codec import new_event, stored_entries
from mixstation.record.errors import JournalError, Presence
from mixstation.record.stored import EventStore
from mixstation.station.clocks import Clock, stamp

# Choice: a disk that fails is not tried at every look, for each try may take its time.
RETRY_MS: Final = 1_000


class Keeper:
    """The only one who stores facts of a batch, from one thread; `trouble` says what keeps them back, or ""."""

    def __init__(
        self, store: EventStore, clock: Clock, who: str, run: Run, held: tuple[Entry, ...] = ()
    ) -> None:
        """Use `begin` or `resume`."""
        self._store = store
        self._clock = clock
        self._who = who
        self.run = run
        self._held: deque[tuple[Entry, ...]] = deque((held,) if held else ())
        self.trouble = ""
        self._outcome: Presence | None = None
        self._tried_ms = 0

    @classmethod
    def begin(cls, store: EventStore, clock: Clock, who: str, start: BatchStarted) -> "Keeper":
        """Start a batch and store its start.

        Raises:
            JournalError: The start could not be stored; there is no batch then.
        """
        entry = Entry(seq=1, stamp=stamp(clock, who), fact=start)
        store.append(start.batch_id, [new_event(entry)])
        return cls(store, clock, who, fold((entry,)))

    @classmethod
    def resume(cls, store: EventStore, clock: Clock, who: str, batch_id: str) -> "Keeper":
        """Take up a stored batch.

        Args:
            who: Who goes on; "" for whoever was at it last.

        Raises:
            JournalError: It could not be read.
            CodecError: It was stored by a later program, or is damaged.
            FoldError: It is no batch of ours.
        """
        run = fold(stored_entries(store, batch_id))
        return cls(store, clock, who or run.entries[-1].stamp.who, run)

    @property
    def held(self) -> tuple[Entry, ...]:
        """Entries not yet stored, oldest first."""
        return tuple(entry for decision in self._held for entry in decision)

    def keep(self, *facts: Fact) -> None:
        """Store the facts of one decision together and fold them in. Never fails: what cannot be stored is held."""
        if not facts:
            return
        kept = stamp(self._clock, self._who, late=bool(self._held))
        entries = tuple(
            Entry(seq=seq, stamp=kept, fact=fact)
            for seq, fact in enumerate(facts, start=len(self.run.entries) + 1)
        )
        if self._held or not self._stored(entries):
            # Unless the failed store may have gone through after all, the entries are written late for certain.
            if self._outcome == "absent":
                late = replace(kept, late=True)
                entries = tuple(replace(entry, stamp=late) for entry in entries)
            self._held.append(entries)
        for entry in entries:
            self.run = apply(self.run, entry)

    def flush(self, *, at_once: bool = False) -> None:
        """Try to write what is held, once in a while or at once."""
        if not at_once and self._clock.moment().mono_ms - self._tried_ms < RETRY_MS:
            return
        while self._held and self._stored(self._held[0]):
            self._held.popleft()
        if not self._held:
            self.trouble = ""

    def _stored(self, entries: tuple[Entry, ...]) -> bool:
        try:
            self._store.append_once(self.run.start.batch_id, [new_event(entry) for entry in entries])
        except JournalError as error:
            self.trouble = error.code
            self._tried_ms = self._clock.moment().mono_ms
            self._outcome = error.outcome
            return error.outcome == "present"
        return True
