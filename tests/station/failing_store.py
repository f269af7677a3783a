"""A store that keeps the contract of every store, and fails when told to."""

from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from mixstation.record.chain import ChainFault
from mixstation.record.errors import JournalError, Presence
from mixstation.record.stored import BatchRow, NewEvent, StoredEvent
from mixstation.record.trouble import AtPath, PathCode
from tests.record.memory_journal import MemoryJournal


class FailingStore:
    """Appends fail from the moment `fails` is set until it is cleared.

    Attributes:
        fails: Code to fail with, or "".
        outcome: What the error says became of the events.
        tries: Appends tried.
        decisions: How many events each append that went through had.
    """

    def __init__(self) -> None:
        self._kept = MemoryJournal()
        self.fails: PathCode | Literal[""] = ""
        self.outcome: Presence = "absent"
        self.tries = 0
        self.decisions: list[int] = []

    @property
    def read_only(self) -> bool:
        return self._kept.read_only

    def notices(self) -> tuple[str, ...]:
        return self._kept.notices()

    def append(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        self.tries += 1
        if not self.fails:
            return self._kept.append(batch_id, events)
        if self.outcome == "present":
            self._kept.append(batch_id, events)
        raise JournalError(AtPath(code=self.fails, path="the disk", detail="away"), outcome=self.outcome)

    def append_once(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        if self.fails:
            return self.append(batch_id, events)
        self.decisions.append(len(events))
        return self._kept.append_once(batch_id, events)

    def events(self, batch_id: str, *, even_damaged: bool = False) -> tuple[StoredEvent, ...]:
        return self._kept.events(batch_id, even_damaged=even_damaged)

    def batches(self) -> tuple[BatchRow, ...]:
        return self._kept.batches()

    def audit(self, batch_id: str | None = None) -> tuple[ChainFault, ...]:
        return self._kept.audit(batch_id)

    def back_up(self, to: Path) -> None:
        self._kept.back_up(to)

    def close(self) -> None:
        self._kept.close()
