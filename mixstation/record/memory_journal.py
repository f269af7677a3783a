"""A journal that forgets: for trying things out, with the contract of the one on disk."""

import contextlib
import tempfile
from pathlib import Path

from mixstation.record.chain import ChainFault, chain_faults, first_link, next_link
from mixstation.record.errors import JournalError
from mixstation.record.journal import Journal
from mixstation.record.stored import BatchRow, StoredEvent


class MemoryJournal:
    """All recorded events of this process, gone with it."""

    def __init__(self) -> None:
        self._events: dict[str, list[StoredEvent]] = {}
        self._closed = False

    @property
    def read_only(self) -> bool:
        """Never: as `Journal.read_only`."""
        return False

    def notices(self) -> tuple[str, ...]:
        """None ever: as `Journal.notices`."""
        return ()

    def append(self, batch_id: str, seq: int, kind: str, body: str) -> StoredEvent:
        """Keep the next event of a batch: as `Journal.append`."""
        self._refuse_if_closed()
        kept = self._events.get(batch_id, [])
        if seq != len(kept) + 1:
            raise JournalError(
                "gap" if seq > len(kept) else "seq-taken",
                outcome="absent" if self._held(batch_id, seq, kind, body) is None else "present",
                batch_id=batch_id,
                expected_seq=len(kept) + 1,
                found_seq=seq,
            )
        try:
            previous = bytes.fromhex(kept[-1].chain) if kept else first_link(batch_id.encode())
            link = next_link(previous, seq, kind.encode(), body.encode())
        except UnicodeEncodeError as error:
            raise JournalError("not-text", outcome="absent") from error
        event = StoredEvent(batch_id=batch_id, seq=seq, kind=kind, body=body, chain=link.hex())
        self._events.setdefault(batch_id, []).append(event)
        return event

    def append_once(self, batch_id: str, seq: int, kind: str, body: str) -> StoredEvent:
        """Keep an event unless this very event is kept already: as `Journal.append_once`."""
        self._refuse_if_closed()
        return self._held(batch_id, seq, kind, body) or self.append(batch_id, seq, kind, body)

    def events(self, batch_id: str, *, even_damaged: bool = False) -> tuple[StoredEvent, ...]:
        """All events of a batch: as `Journal.events`; nothing here gets damaged."""
        self._refuse_if_closed()
        return tuple(self._events.get(batch_id, ()))

    def batches(self) -> tuple[BatchRow, ...]:
        """All batches, the one begun last first: as `Journal.batches`."""
        self._refuse_if_closed()
        return tuple(
            BatchRow(
                batch_id=batch_id, first_kind=kept[0].kind, last_kind=kept[-1].kind, event_count=len(kept)
            )
            for batch_id, kept in reversed(self._events.items())
        )

    def audit(self, batch_id: str | None = None) -> tuple[ChainFault, ...]:
        """Where the events are not what was kept: as `Journal.audit`."""
        self._refuse_if_closed()
        chosen = self._events if batch_id is None else [batch_id] if batch_id in self._events else []
        return tuple(
            fault
            for name in chosen
            for fault in chain_faults(
                name.encode(),
                [
                    (e.seq, e.kind.encode(), e.body.encode(), bytes.fromhex(e.chain))
                    for e in self._events[name]
                ],
            )
        )

    def back_up(self, to: Path) -> None:
        """Write all events to a journal file: as `Journal.back_up`."""
        self._refuse_if_closed()
        with (
            tempfile.TemporaryDirectory() as folder,
            contextlib.closing(Journal.open(Path(folder))) as journal,
        ):
            for kept in self._events.values():
                for event in kept:
                    journal.append(event.batch_id, event.seq, event.kind, event.body)
            journal.back_up(to)

    def close(self) -> None:
        """Refuse everything from now on; doing so twice is harmless."""
        self._closed = True

    def _held(self, batch_id: str, seq: int, kind: str, body: str) -> StoredEvent | None:
        kept = self._events.get(batch_id, [])
        if not 1 <= seq <= len(kept):
            return None
        event = kept[seq - 1]
        return event if (event.kind, event.body) == (kind, body) else None

    def _refuse_if_closed(self) -> None:
        if self._closed:
            raise JournalError("closed", outcome="absent")
