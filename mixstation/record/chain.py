"""The hash chain of a batch: each event's hash covers the event and, through the hash before it, all earlier ones.

It shows a changed, missing or moved event. It cannot show that the newest events of a batch were cut off cleanly,
and it is no seal against someone who can rewrite the whole file.
"""

from collections.abc import Iterable, Iterator
from hashlib import sha256
from typing import Literal

from mixstation.frozen import dataclass

Row = tuple[int, bytes, bytes, bytes]
"""Sequence number, kind, body and hash of one event as they lie in the file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainFault:
    """One place where the stored events are not what was stored.

    Attributes:
        batch_id: The batch, or "" when the fault is in the file as a whole.
        seq: The event, or 0 when no single event can be named.
        code: "changed" (content and hash disagree), "missing" (events before this one, or all of the batch, are not
            there), "unreadable" (SQLite cannot read it) or "file-damaged" (the file's own structure is broken).
    """

    batch_id: str
    seq: int
    code: Literal["changed", "missing", "unreadable", "file-damaged"]


def first_link(batch_id: bytes) -> bytes:
    """The hash a batch's chain starts from.

    Args:
        batch_id: The batch's id in UTF-8.

    Returns:
        32 bytes.

    Source: Choice: the id is hashed in so that events cannot be taken for another batch's.
    """
    return sha256(b"mixstation batch\0" + batch_id).digest()


def next_link(previous: bytes, seq: int, kind: bytes, body: bytes) -> bytes:
    """The hash of an event.

    Args:
        previous: Hash of the event before it, or `first_link`.
        seq: Its sequence number, from 1.
        kind: Its kind in UTF-8.
        body: Its body in UTF-8.

    Returns:
        32 bytes.

    Source: FIPS 180-4 (SHA-256). Choice: lengths go in before the texts so that no two events hash the same bytes.
    """
    return sha256(b"%b%d:%d:%d:%b%b" % (previous, seq, len(kind), len(body), kind, body)).digest()


def chain_faults(batch_id: bytes, rows: Iterable[Row]) -> Iterator[ChainFault]:
    """Compare stored events with their hashes.

    Args:
        batch_id: The batch's id as it lies in the file.
        rows: Its events in order of sequence number.

    Yields:
        A fault for each event that is not what was stored. Checking goes on from the stored hash, so that one
        damaged event does not condemn the rest.
    """
    name = batch_id.decode("utf-8", "replace")
    previous, expected_seq = first_link(batch_id), 1
    for seq, kind, body, link in rows:
        if seq != expected_seq:
            yield ChainFault(batch_id=name, seq=seq, code="missing")
        elif link != next_link(previous, seq, kind, body):
            yield ChainFault(batch_id=name, seq=seq, code="changed")
        previous, expected_seq = link, seq + 1
    if expected_seq == 1:
        yield ChainFault(batch_id=name, seq=0, code="missing")
