"""What a journal holds and what every journal can do."""

from pathlib import Path
from typing import Protocol

from mixstation.frozen import dataclass
from mixstation.record.chain import ChainFault


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredEvent:
    """One event as it lies in the journal.

    Attributes:
        batch_id: The batch it belongs to.
        seq: Its place in the batch, from 1 without gaps.
        kind: Its stored name.
        body: Its canonical JSON.
        chain: Hexadecimal hash over this event and all before it in the batch.
    """

    batch_id: str
    seq: int
    kind: str
    body: str
    chain: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchRow:
    """One batch in the list of batches.

    Attributes:
        batch_id: The batch.
        first_kind: Kind of its first event.
        last_kind: Kind of its newest event.
        event_count: How many events it has.
    """

    batch_id: str
    first_kind: str
    last_kind: str
    event_count: int


class EventStore(Protocol):
    """What the journal on disk and the one in memory have in common."""

    @property
    def read_only(self) -> bool:
        """Whether appending is refused."""

    def notices(self) -> tuple[str, ...]:
        """Codes of what the person should be told, oldest first."""

    def append(self, batch_id: str, seq: int, kind: str, body: str) -> StoredEvent:
        """Store the next event of a batch; returns only once it is durable."""

    def append_once(self, batch_id: str, seq: int, kind: str, body: str) -> StoredEvent:
        """Store an event unless this very event is stored already."""

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
