"""A journal that forgets, with the contract of the one on disk: for tests that have no need of a disk."""

import contextlib
import tempfile
from collections.abc import Sequence
from pathlib import Path

from mixstation.record.chain import ChainFault, chain_faults, first_link, next_link
from mixstation.record.errors import JournalError
from mixstation.record.journal import Journal
from mixstation.record.stored import BatchRow, NewEvent, StoredEvent
from mixstation.record.trouble import OutOfOrder, Plain


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

    def append(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        """Keep the next events of a batch, all or none: as `Journal.append`."""
        self._refuse_if_closed()
        kept = self._events.get(batch_id, [])
        for expected_seq, event in enumerate(events, start=len(kept) + 1):
            if event.seq != expected_seq:
                raise JournalError(
                    OutOfOrder(
                        code="gap" if event.seq > expected_seq else "seq-taken",
                        batch_id=batch_id,
                        expected_seq=expected_seq,
                        found_seq=event.seq,
                    ),
                    outcome="present" if self._held(batch_id, events) else "absent",
                )
        stored: list[StoredEvent] = []
        try:
            link = bytes.fromhex(kept[-1].chain) if kept else first_link(batch_id.encode())
            for event in events:
                link = next_link(link, event.seq, event.kind.encode(), event.body.encode())
                stored.append(
                    StoredEvent(
                        batch_id=batch_id, seq=event.seq, kind=event.kind, body=event.body, chain=link.hex()
                    )
                )
        except UnicodeEncodeError as error:
            raise JournalError(Plain.NOT_TEXT, outcome="absent") from error
        if stored:
            self._events.setdefault(batch_id, []).extend(stored)
        return tuple(stored)

    def append_once(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        """Keep events unless these very events are kept already: as `Journal.append_once`."""
        self._refuse_if_closed()
        return self._held(batch_id, events) or self.append(batch_id, events)

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
                journal.append(
                    kept[0].batch_id, [NewEvent(seq=e.seq, kind=e.kind, body=e.body) for e in kept]
                )
            journal.back_up(to)

    def close(self) -> None:
        """Refuse everything from now on; doing so twice is harmless."""
        self._closed = True

    def _held(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        kept = {event.seq: event for event in self._events.get(batch_id, [])}
        held = tuple(kept[event.seq] for event in events if event.seq in kept)
        same = [(e.seq, e.kind, e.body) for e in held] == [(e.seq, e.kind, e.body) for e in events]
        return held if same else ()

    def _refuse_if_closed(self) -> None:
        if self._closed:
            raise JournalError(Plain.CLOSED, outcome="absent")
