"""The store under the batch, with what storage does wrong: full, read-only, failing, or the power gone in between."""

from collections.abc import Callable, Sequence
from random import Random
from typing import Literal

from mixstation.record.errors import JournalError, Presence
from mixstation.record.stored import EventStore, NewEvent, StoredEvent
from mixstation.record.trouble import AtPath, PathCode

Stored = tuple[StoredEvent, ...]


class Killed(BaseException):
    """The process was killed here; nothing above catches it."""


class ShopStore:
    """Passes everything on to a real store, except when told to fail.

    Attributes:
        trouble: Code of what storage answers until it is mended, "" while it works.
        kill_in: Kills at so many appends from now, None for never.
        stored_before_kill: Whether the append that is killed had gone through.
        started_anew: Whether the machine goes down with the process.
        acknowledged: Every event whose append returned.
        under_way: What it was last asked to take.
    """

    def __init__(self, inner: EventStore, random: Random) -> None:
        self.inner = inner
        self.trouble: PathCode | Literal[""] = ""
        self.kill_in: int | None = None
        self.stored_before_kill = False
        self.started_anew = False
        self.acknowledged: list[StoredEvent] = []
        self.under_way: Sequence[NewEvent] = ()
        self.before_append: Callable[[], None] = lambda: None
        self._random = random

    @property
    def read_only(self) -> bool:
        return self.inner.read_only

    def append(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        return self._appended(events, lambda: self.inner.append(batch_id, events))

    def append_once(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        return self._appended(events, lambda: self.inner.append_once(batch_id, events))

    def events(self, batch_id: str) -> tuple[StoredEvent, ...]:
        return self.inner.events(batch_id)

    def _appended(self, events: Sequence[NewEvent], append: Callable[[], Stored]) -> Stored:
        self.under_way = events
        self.before_append()
        if self.kill_in is not None:
            self.kill_in -= 1
            if self.kill_in < 0:
                self.kill_in = None
                if self.stored_before_kill and not self.trouble:
                    append()
                raise Killed
        if self.trouble:
            raise JournalError(
                AtPath(code=self.trouble, path="journal", detail="told to fail"), outcome=self._failed(append)
            )
        stored = append()
        if not self.acknowledged or stored[-1].seq > self.acknowledged[-1].seq:
            self.acknowledged.extend(stored)
        return stored

    def _failed(self, append: Callable[[], Stored]) -> Presence:
        """Whether the events are in although the store complained, and whether the store can tell."""
        what = self._random.random()
        if self.trouble != "storage-failed" or what < 0.6:
            return "absent"
        if what < 0.75:
            return "unknown"
        stored = append()
        if what < 0.9:
            self.acknowledged.extend(stored)
            return "present"
        return "unknown"
