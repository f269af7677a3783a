"""The journal: every event of every batch, one decision at a time, durable before it is called saved."""

import contextlib
import os
import sqlite3
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeVar

from mixstation.record import errors, proof, queries
from mixstation.record.chain import ChainFault, chain_faults, first_link, next_link
from mixstation.record.durable import open_durable, open_for_reading, reading_copy, transaction
from mixstation.record.errors import STORAGE_FAULTS, JournalError, Presence, reported, storage_code
from mixstation.record.exchange import finish_exchange, unfinished, unreadable
from mixstation.record.journal_folder import LOCK_NAME, FolderLock, lay_ballast, on_network, spend_ballast
from mixstation.record.paths import make_private_folder, replacing
from mixstation.record.stored import BatchRow, NewEvent, StoredEvent
from mixstation.record.tables import JOURNAL_TABLES
from mixstation.record.trouble import AtPath, Damaged, Notice, OutOfOrder, Plain
from mixstation.record.witness import Claim, add_claim, flush_witness

FILE_NAME = "journal.sqlite3"
BALLAST_NAME = "journal.ballast"

_Answer = TypeVar("_Answer")


class Journal:
    """All recorded events, in one SQLite file that one thread of one process writes.

    Every call comes from the thread that opened it. Nothing is cached: what a call returns was read from the file. One
    that reads may raise `JournalError` "busy", "file-damaged" or "storage-failed" besides what it names.
    """

    def __init__(
        self,
        path: Path,
        connection: sqlite3.Connection,
        *,
        lock: FolderLock | None = None,
        notices: tuple[Notice, ...] = (),
        belongings: contextlib.ExitStack | None = None,
    ) -> None:
        """Use `open` or `open_reading` instead."""
        self._path = path
        self._connection: sqlite3.Connection | None = connection
        self._lock = lock
        self._notices = list(notices)
        self._belongings = belongings or contextlib.ExitStack()
        self._closed = False

    @classmethod
    def open(cls, folder: Path) -> "Journal":
        """Open the journal for writing, making it if it is not there, and keep other instances out.

        A journal of a later program, or one that may not be written, is opened for reading: see `read_only` and
        `notices`.

        Returns:
            The journal, its file readable by this user alone.

        Raises:
            JournalError: "in-use" (`pid`), "folder-unusable", "not-a-journal", "file-damaged", "disk-full",
                "sqlite-too-old", "durability-refused", "storage-failed".
        """
        path = folder / FILE_NAME
        try:
            make_private_folder(folder)
            lock = FolderLock(folder / LOCK_NAME)
        except OSError as error:
            if storage_code(error) in ("read-only", "not-permitted") and os.access(path, os.R_OK):
                return cls._open_to_read(path, "folder-read-only")
            raise JournalError(errors.unusable(folder, error)) from error
        with reported(path, JournalError), contextlib.ExitStack() as undo:
            undo.callback(lock.release)
            if os.path.lexists(path) and not os.access(path, os.W_OK):
                return cls._open_to_read(path, "folder-read-only")
            notices = finish_exchange(folder)
            proof.settle(path)
            connection = open_durable(path)
            undo.callback(connection.close)
            found = JOURNAL_TABLES.standing(connection)
            if found == "newer":
                return cls._open_to_read(path)
            if found == "empty":
                proof.refuse_if_gone(path)
            if found != "current":
                JOURNAL_TABLES.bring_up_to_date(connection)
            notices += ("network-folder",) if on_network(folder) else ()
            notices += proof.catch_up(folder, connection)
            if not lay_ballast(folder / BALLAST_NAME):
                notices += ("disk-nearly-full",)
            journal = cls(path, connection, lock=lock, notices=notices)
            undo.pop_all()
            return journal

    @classmethod
    def open_reading(cls, folder: Path) -> "Journal":
        """Open the journal to read while another instance may be writing; changes nothing and takes no lock.

        Not for a process that has it open for writing.

        Returns:
            The journal, or a copy of it where a crashed writer's unfinished work bars the original.

        Raises:
            JournalError: "no-journal", "not-a-journal", "file-damaged", "busy", "storage-failed".
        """
        return cls._open_to_read(folder / FILE_NAME)

    @classmethod
    def _open_to_read(cls, path: Path, *notices: Notice) -> "Journal":
        if unfinished(path.parent):
            raise JournalError(AtPath(code="exchange-unfinished", path=str(path.parent)))
        if not os.path.lexists(path):
            raise proof.absence(path)
        if unreadable(path.parent):
            notices += ("exchange-unreadable",)
        with reported(path, JournalError), contextlib.ExitStack() as belongings:
            try:
                connection = open_for_reading(path)
            except sqlite3.OperationalError as error:
                if storage_code(error) == "busy":
                    raise
                connection = open_durable(belongings.enter_context(reading_copy(path)), create=False)
                notices += ("reading-a-copy",)
            belongings.callback(connection.close)
            found = JOURNAL_TABLES.standing(connection)
            if found == "empty":
                raise proof.absence(path)
            if found == "newer":
                notices += ("newer-schema",)
            else:
                notices += proof.standing_notices(path.parent, connection)
            return cls(path, connection, notices=notices, belongings=belongings.pop_all())

    @property
    def read_only(self) -> bool:
        """Whether appending is refused."""
        return self._lock is None

    def notices(self) -> tuple[Notice, ...]:
        """What the person should be told about the storage.

        Returns:
            Codes, oldest first; what each means stands with `Notice`.
        """
        return tuple(self._notices)

    def append(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        """Store the next events of a batch in one transaction: all of them or none.

        Args:
            batch_id: The batch; its first event begins it.
            events: All of one decision, in order, numbered on from what the batch has; none does nothing.

        Returns:
            The events, only once they would survive a power cut.

        Raises:
            JournalError: With `outcome`. The events were refused: "read-only", "closed", "not-text", "gap" or
                "seq-taken" (`expected_seq`, `found_seq`). Storage failed: "disk-full", "busy", "file-replaced" (the
                file was removed or replaced while in use), "file-damaged", "storage-failed". The journal stays
                usable and tries to open the file anew at the next call. After a storage failure "present" is what
                the file says now; a power cut may still undo it.
        """
        self._refuse_if_read_only()
        while True:
            try:
                stored = self._store(batch_id, events)
                self._bear_witness(stored)
                return stored
            except UnicodeEncodeError as error:
                raise JournalError(Plain.NOT_TEXT, outcome="absent") from error
            except JournalError as error:
                error.outcome = error.outcome or "unknown"
                raise
            except STORAGE_FAULTS as error:
                why, cause = errors.trouble_at(self._path, error), error
            outcome = self._outcome_after_trouble(batch_id, events)
            ballast = self._path.parent / BALLAST_NAME
            if why.code == "disk-full" and outcome == "absent" and spend_ballast(ballast):
                self._notices.append("reserve-spent")
                continue
            raise JournalError(why, outcome=outcome) from cause

    def append_once(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        """Store events unless these very events are stored already.

        Args:
            events: As for `append`, or with the numbers under which they are stored.

        Raises:
            JournalError: As for `append`; "seq-taken" when other events have these numbers.
        """
        self._refuse_if_read_only()
        with reported(self._path, lambda why: JournalError(why, outcome="unknown")):
            held = self._held(batch_id, events)
        return held or self.append(batch_id, events)

    def events(self, batch_id: str, *, even_damaged: bool = False) -> tuple[StoredEvent, ...]:
        """All events of a batch, in order; none for a batch that is not there.

        Args:
            even_damaged: Give them although the chain does not hold, text that is not UTF-8 with U+FFFD.

        Raises:
            JournalError: "damaged" with `faults` when the chain does not hold; "busy", "file-damaged",
                "storage-failed".
        """
        with reported(self._path, JournalError):
            connection = self._connected()
            number = queries.batch_number(connection, batch_id)
            if number is None:
                return ()
            rows = queries.event_rows(connection, number)
        faults = tuple(chain_faults(batch_id.encode(), rows))
        if faults and not even_damaged:
            raise JournalError(Damaged(batch_id=batch_id, faults=faults))
        return tuple(queries.stored_event(batch_id, row) for row in rows)

    def batches(self) -> tuple[BatchRow, ...]:
        """All batches, the one begun last first."""
        with reported(self._path, JournalError):
            return queries.all_batches(self._connected())

    def audit(self, batch_id: str | None = None) -> tuple[ChainFault, ...]:
        """Where the stored events are not what was stored, oldest batch first; nothing of a batch that is not there.

        Args:
            batch_id: One batch; None for the whole file with its structure, which reads all of it.

        Raises:
            JournalError: "busy", "storage-failed".
        """
        with reported(self._path, JournalError):
            connection = self._connected()
            if batch_id is None:
                return queries.file_faults(connection)
            number = queries.batch_number(connection, batch_id)
            return () if number is None else queries.batch_faults(connection, number, batch_id.encode())

    def ask(self, question: Callable[[sqlite3.Connection], _Answer]) -> _Answer:
        """Put a question of `proof` or `queries` to the open file."""
        with reported(self._path, JournalError):
            return question(self._connected())

    def back_up(self, to: Path) -> None:
        """Write a whole copy, durable once this returns, in place of any file of that name or not at all.

        Raises:
            JournalError: "backup-onto-journal"; "disk-full", "read-only", "not-permitted", "file-damaged",
                "storage-failed".
        """
        connection = self._connected()
        with reported(to, JournalError):
            if to.exists() and to.samefile(self._path):
                raise JournalError(AtPath(code="backup-onto-journal", path=str(to)))
            with replacing(to) as (_, unfinished):
                connection.execute("VACUUM INTO ?", (str(unfinished),))

    def close(self) -> None:
        """Let go of the file, then of the lock; doing so twice is harmless."""
        if self._closed:
            return
        self._closed = True
        self._disconnect()
        self._belongings.close()
        if self._lock is not None and self._lock.in_place():
            flush_witness(self._path.parent)  # one that lags behind is caught up at the next opening
        if self._lock is not None:
            self._lock.release()

    def _bear_witness(self, stored: Sequence[StoredEvent]) -> None:
        """Tell the witness what is stored; an entry that is saved never waits for it, nor fails with it."""
        for newest in () if "witness-later" in self._notices else stored[-1:]:
            claim = Claim(batch_id=newest.batch_id, entry_count=newest.seq, head=newest.chain)
            if not add_claim(self._path.parent, claim) and "witness-behind" not in self._notices:
                self._notices.append("witness-behind")

    def _refuse_if_read_only(self) -> None:
        if self.read_only:
            raise JournalError(AtPath(code="read-only", path=str(self._path)), outcome="absent")

    def _store(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        connection = self._connected()
        batch_bytes = batch_id.encode()
        texts = [(event.kind.encode(), event.body.encode()) for event in events]
        stored: list[StoredEvent] = []
        with transaction(connection):
            number = queries.batch_number(connection, batch_id)
            last = None if number is None else queries.last_event_row(connection, number)
            last_seq, link = (0, first_link(batch_bytes)) if last is None else (last[0], last[3])
            for expected_seq, event in enumerate(events, start=last_seq + 1):
                if event.seq != expected_seq:
                    raise self._wrong_seq(batch_id, events, expected_seq, event.seq)
            if number is None and events:
                (number,) = connection.execute("SELECT coalesce(max(number), 0) + 1 FROM batch").fetchone()
                connection.execute("INSERT INTO batch VALUES (?, ?)", (number, batch_id))
            for event, (kind_bytes, body_bytes) in zip(events, texts, strict=True):
                link = next_link(link, event.seq, kind_bytes, body_bytes)
                row = (number, event.seq, event.kind, event.body, link)
                connection.execute("INSERT INTO event VALUES (?, ?, ?, ?, ?)", row)
                stored.append(
                    StoredEvent(
                        batch_id=batch_id, seq=event.seq, kind=event.kind, body=event.body, chain=link.hex()
                    )
                )
        return tuple(stored)

    def _wrong_seq(
        self, batch_id: str, events: Sequence[NewEvent], expected_seq: int, found_seq: int
    ) -> JournalError:
        why = OutOfOrder(
            code="gap" if found_seq > expected_seq else "seq-taken",
            batch_id=batch_id,
            expected_seq=expected_seq,
            found_seq=found_seq,
        )
        return JournalError(why, outcome="present" if self._held(batch_id, events) else "absent")

    def _held(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        """These very events, if all of them are in the file; else none."""
        held: list[StoredEvent] = []
        for event in events:
            found = queries.find_event(self._connected(), batch_id, event.seq)
            if found is None or (found.kind, found.body) != (event.kind, event.body):
                return ()
            held.append(found)
        return tuple(held)

    def _outcome_after_trouble(self, batch_id: str, events: Sequence[NewEvent]) -> Presence:
        """Only the file, opened anew, can say what became of a commit that failed."""
        self._disconnect()
        try:
            return "present" if self._held(batch_id, events) else "absent"
        except (*STORAGE_FAULTS, JournalError):
            self._disconnect()
            return "unknown"

    def _connected(self) -> sqlite3.Connection:
        if self._closed:
            raise JournalError(Plain.CLOSED, outcome="absent")
        if self._connection is None:
            self._take_lock_again_if_gone()
            # Not made anew: where the disk went away, what is there now is not our journal.
            connection = open_durable(self._path, create=False)
            try:
                if JOURNAL_TABLES.standing(connection) != "current":
                    raise JournalError(AtPath(code="not-a-journal", path=str(self._path)))
            except BaseException:
                connection.close()
                raise
            self._connection = connection
        return self._connection

    def _take_lock_again_if_gone(self) -> None:
        if self._lock is not None and not self._lock.in_place():
            fresh = FolderLock(self._path.parent / LOCK_NAME)
            self._lock.release()
            self._lock = fresh

    def _disconnect(self) -> None:
        if self._connection is not None:
            with contextlib.suppress(sqlite3.Error):
                self._connection.close()
            self._connection = None
