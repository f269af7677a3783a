"""What a journal holds and what every journal can do."""

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Protocol

from mixstation.frozen import Frozen
from mixstation.record.chain import ChainFault
from mixstation.record.trouble import Notice


class NewEvent(Frozen):
    """One event of a decision that is to be stored; `seq` counts from 1 in its batch, without gaps."""

    seq: int
    kind: str
    body: str


class StoredEvent(Frozen):
    """One event as it lies in the journal.

    Attributes:
        seq: Its place in the batch, from 1 without gaps.
        chain: Hexadecimal hash over this event and all before it in the batch.
    """

    batch_id: str
    seq: int
    kind: str
    body: str
    chain: str


class BatchRow(Frozen):
    """One batch in the list of batches."""

    batch_id: str
    first_kind: str
    last_kind: str
    event_count: int


class EventStore(Protocol):
    """What the program asks of a journal, on disk or not."""

    @property
    def read_only(self) -> bool:
        """Whether appending is refused."""

    def notices(self) -> tuple[Notice, ...]:
        """Codes of what the person should be told, oldest first."""

    def append(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        """Store the next events of a batch, all or none; returns only once they are durable."""

    def append_once(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        """Store events unless these very events are stored already."""

    def events(self, batch_id: str, *, even_damaged: bool = False) -> tuple[StoredEvent, ...]:
        """All events of a batch in order; none for a batch that is not there."""

    def batches(self) -> tuple[BatchRow, ...]:
        """All batches, the one begun last first."""

    def audit(self, batch_id: str | None = None) -> tuple[ChainFault, ...]:
        """Where the stored events are not what was stored."""

    def back_up(self, to: Path) -> None:
        """Write a whole copy to a file."""

    def close(self) -> None:
        """Let go of everything; doing so twice is harmless."""


_ENDS = frozenset({"batch-finished", "batch-discarded"})
_SAYS_SETTINGS = frozenset({"batch-started", "program-resumed"})
_SHOWN_COUNT = 5


class BatchNotFound(Exception):  # noqa: N818 - what was not found, in the words of the records
    """Not one batch was meant by what was asked for.

    Attributes:
        found: Ids of several batches that were meant; none where there is no such batch.
    """

    def __init__(self, asked: str, *found: str) -> None:
        """Keep what was asked for and what it could mean."""
        super().__init__(asked)
        self.asked, self.found = asked, found


def find_batch(store: EventStore, asked: str) -> str:
    """The id of a batch, by all of it or a part that no other has.

    Raises:
        BatchNotFound: No batch has it, or several have.
    """
    known = [row.batch_id for row in store.batches()]
    found = [asked] if asked in known else [batch_id for batch_id in known if asked and asked in batch_id]
    if len(found) != 1:
        raise BatchNotFound(asked, *found[:_SHOWN_COUNT])
    return found[0]


def said_of_settings(store: EventStore, batch_id: str) -> Mapping[str, object]:
    """How a batch is shown and weighed, as it was stored last and unproved: enough to choose a front end by.

    Nothing of the core is loaded for it. Empty where nothing of it is stored, or it cannot be read.
    """
    for event in reversed(store.events(batch_id, even_damaged=True)):
        if event.kind in _SAYS_SETTINGS:
            try:
                said = json.loads(event.body)["fact"].get("settings")
            except (ValueError, LookupError, TypeError, AttributeError, RecursionError):
                continue
            if isinstance(said, dict):
                return said
    return {}


def open_batches(store: EventStore) -> tuple[str, ...]:
    """Ids of all batches that are neither finished nor discarded, the newest first."""
    return tuple(
        row.batch_id
        for row in store.batches()
        # A batch whose newest entry ends it need not be read; after its end there may still be notes.
        if row.last_kind not in _ENDS
        and not any(event.kind in _ENDS for event in store.events(row.batch_id, even_damaged=True))
    )
