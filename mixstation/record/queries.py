"""What is asked of an open journal file; SQLite's errors pass through.

`connection` is the open file, `number` what a batch is filed under, `batch_id` its id.
"""

import sqlite3

from mixstation.record.chain import ChainFault, EventRow, chain_faults
from mixstation.record.errors import storage_code
from mixstation.record.stored import BatchRow, StoredEvent
from mixstation.record.witness import Claim

# As raw bytes: damaged text must reach the chain check instead of failing to decode.
_EVENT_ROWS = """
    SELECT CAST(seq AS INTEGER), coalesce(CAST(kind AS BLOB), x''), coalesce(CAST(body AS BLOB), x''),
        coalesce(CAST(chain AS BLOB), x'')
    FROM event WHERE batch = ?
"""
_BATCH_ROWS = """
    SELECT batch_id,
        (SELECT kind FROM event WHERE batch = number ORDER BY seq LIMIT 1),
        (SELECT kind FROM event WHERE batch = number ORDER BY seq DESC LIMIT 1),
        (SELECT max(seq) FROM event WHERE batch = number)
    FROM batch ORDER BY number DESC
"""
_LARGEST_SEQ = 2**63 - 1
# Newest first: the running batch is found at once, an old one among thousands in under a millisecond.
_FIND_BATCH = "SELECT number FROM batch WHERE batch_id = ? ORDER BY number DESC LIMIT 1"
_NO_EVENT_IS_ASTRAY = """
    SELECT (SELECT count(*) FROM event)
        = (SELECT coalesce(sum((SELECT count(*) FROM event WHERE batch = number)), 0) FROM batch)
"""
_HEADS = """
    SELECT batch_id, seq, lower(hex(chain)), number FROM batch JOIN event ON event.batch = number
        AND seq = (SELECT max(seq) FROM event WHERE batch = number)
    WHERE number > ? ORDER BY number
"""
_HEAD_AT = "SELECT lower(hex(chain)) FROM event WHERE batch = ? AND seq = ?"
_BATCH_NAMES = "SELECT number, coalesce(CAST(batch_id AS BLOB), x'') FROM batch ORDER BY number"


def batch_number(connection: sqlite3.Connection, batch_id: str) -> int | None:
    """The number a batch is filed under; None when it is not there."""
    try:
        row = connection.execute(_FIND_BATCH, (batch_id,)).fetchone()
    except UnicodeEncodeError:
        return None
    return None if row is None else row[0]


def event_rows(connection: sqlite3.Connection, number: int) -> list[EventRow]:
    """All events of a batch, in order."""
    return connection.execute(_EVENT_ROWS + "ORDER BY seq", (number,)).fetchall()


def last_event_row(connection: sqlite3.Connection, number: int) -> EventRow | None:
    """The newest event of a batch; None when it has none."""
    row: EventRow | None = connection.execute(_EVENT_ROWS + "ORDER BY seq DESC LIMIT 1", (number,)).fetchone()
    return row


def find_event(connection: sqlite3.Connection, batch_id: str, seq: int) -> StoredEvent | None:
    """One event of a batch by its number, from 1; None when it is not there."""
    number = batch_number(connection, batch_id)
    if number is None or not 1 <= seq <= _LARGEST_SEQ:
        return None
    row = connection.execute(_EVENT_ROWS + "AND seq = ?", (number, seq)).fetchone()
    return None if row is None else stored_event(batch_id, row)


def stored_event(batch_id: str, row: EventRow) -> StoredEvent:
    """A row as an event, with U+FFFD for what is not UTF-8."""
    seq, kind, body, link = row
    return StoredEvent(
        batch_id=batch_id,
        seq=seq,
        kind=kind.decode("utf-8", "replace"),
        body=body.decode("utf-8", "replace"),
        chain=link.hex(),
    )


def all_batches(connection: sqlite3.Connection) -> tuple[BatchRow, ...]:
    """All batches, the one begun last first."""
    return tuple(
        BatchRow(batch_id=batch_id, first_kind=first or "", last_kind=last or "", event_count=count or 0)
        for batch_id, first, last, count in connection.execute(_BATCH_ROWS).fetchall()
    )


def heads(connection: sqlite3.Connection, after_number: int = 0) -> tuple[Claim, ...]:
    """How many entries each batch has, and the newest one's hash, the first begun first; one without is left out.

    Args:
        after_number: Only batches filed under higher numbers than this.
    """
    return tuple(
        Claim(batch_id=batch_id, entry_count=count, head=head, number=number)
        for batch_id, count, head, number in connection.execute(_HEADS, (after_number,)).fetchall()
    )


def numbers_given(connection: sqlite3.Connection) -> tuple[int, int]:
    """How many batches there are, and the highest number of one; 0 and 0 for none."""
    count, highest = connection.execute("SELECT count(*), coalesce(max(number), 0) FROM batch").fetchone()
    return count, highest


def head_at(connection: sqlite3.Connection, there: Claim, entry_count: int) -> str:
    """The hash a batch had at one of its entries, hexadecimal; "" where that entry is not there."""
    if entry_count == there.entry_count:
        return there.head
    row = connection.execute(_HEAD_AT, (there.number, entry_count)).fetchone()
    return "" if row is None else str(row[0])


def batch_faults(connection: sqlite3.Connection, number: int, batch_id: bytes) -> tuple[ChainFault, ...]:
    """Where a batch is not what was stored, in order; its id as it lies in the file."""
    try:
        return tuple(chain_faults(batch_id, event_rows(connection, number)))
    except sqlite3.Error as error:
        if storage_code(error) != "file-damaged":
            raise
        return (ChainFault(batch_id=batch_id.decode("utf-8", "replace"), seq=0, code="unreadable"),)


def file_faults(connection: sqlite3.Connection) -> tuple[ChainFault, ...]:
    """Where the file or any batch in it is not what was stored, oldest batch first.

    The structure is checked too: a flipped bit in a page's count of rows, or in an event's batch number, makes the
    newest events of a batch vanish, and the chain of what is left still holds.
    """
    whole = ChainFault(batch_id="", seq=0, code="file-damaged")
    try:
        sound = connection.execute("PRAGMA quick_check(1)").fetchall() == [("ok",)]
        sound = sound and connection.execute(_NO_EVENT_IS_ASTRAY).fetchone() == (1,)
        names = connection.execute(_BATCH_NAMES).fetchall()
    except sqlite3.Error as error:
        if storage_code(error) != "file-damaged":
            raise
        return (whole,)
    found = tuple(fault for number, name in names for fault in batch_faults(connection, number, name))
    return found if sound else (whole, *found)
