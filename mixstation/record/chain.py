"""The hash chain of a batch: each event's hash covers the event and, through the hash before it, all earlier ones.

It shows a changed, missing or moved event. That the newest events were cut off cleanly, or the whole file rewritten,
only a witness outside the file can show: see `witness`.
"""

from collections.abc import Iterable, Iterator
from hashlib import sha256
from typing import Literal

from mixstation.frozen import Frozen

_SHORT_COUNT = 16

EventRow = tuple[int, bytes, bytes, bytes]
"""Sequence number, kind, body and hash of one event as they lie in the file."""

ChainCode = Literal["changed", "missing", "unreadable", "file-damaged"]


class ChainFault(Frozen):
    """One place where the stored events are not what was stored.

    Attributes:
        batch_id: The batch, or "" when the fault is in the file as a whole.
        seq: The event, or 0 when no single event can be named.
        code: "changed" (content and hash disagree), "missing" (events before this one, or all of the batch, are not
            there), "unreadable" (SQLite cannot read it) or "file-damaged" (the file's own structure is broken).
    """

    batch_id: str
    seq: int
    code: ChainCode


def first_link(batch_id: bytes) -> bytes:
    """The hash a batch's chain starts from, 32 bytes; its id is in UTF-8.

    Source: Choice: the id is hashed in so that events cannot be taken for another batch's.
    """
    return sha256(b"mixstation batch\0" + batch_id).digest()


def next_link(previous: bytes, seq: int, kind: bytes, body: bytes) -> bytes:
    """The hash of an event, 32 bytes, from that of the event before it or `first_link`; texts are in UTF-8.

    Source: FIPS 180-4 (SHA-256). Choice: lengths go in before the texts so that no two events hash the same bytes.
    """
    return sha256(b"%b%d:%d:%d:%b%b" % (previous, seq, len(kind), len(body), kind, body)).digest()


def short_head(head: str) -> str:
    """A chain's head as a person can write it down.

    Example:
        >>> short_head("3f9a22c107be51d0aa" + 46 * "0")
        '3f9a 22c1 07be 51d0'
    """
    return " ".join(head[at : at + 4] for at in range(0, _SHORT_COUNT, 4))


def chain_faults(batch_id: bytes, rows: Iterable[EventRow]) -> Iterator[ChainFault]:
    """Compare stored events with their hashes.

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
