"""Journal against witness: what is missing or altered, and whether a journal ought to be there at all."""

import contextlib
import json
import os
import sqlite3
from collections.abc import Iterable, Mapping
from dataclasses import replace
from hashlib import sha256
from itertools import islice
from pathlib import Path
from typing import Literal

from mixstation.frozen import Frozen
from mixstation.record import queries
from mixstation.record.durable import open_for_reading
from mixstation.record.errors import JournalError, StorageError
from mixstation.record.paths import flush_file, flush_folder
from mixstation.record.trouble import JournalGone, Notice, Plain
from mixstation.record.witness import Claim, Witness, read_witness, write_witness

_JOURNAL_NAME = "journal.sqlite3"
RECORDS_NAME = "records"
BACKUPS_NAME = "backups"
LINKS_NAME = "links"


# Choice: what a crash, a power cut or a slip of the hand can touch is among them; the audit compares all.
_LOOKED_AT_COUNT = 50

_DRAW_COUNT = "SELECT count(DISTINCT entry) FROM movement WHERE kind = 'drawn'"

DifferenceCode = Literal["batch-gone", "entries-gone", "entries-altered", "renumbered", "number-gap"]


class Difference(Frozen):
    """One place where journal and witness do not agree.

    Attributes:
        batch_id: The batch; the one after it for a gap in the numbers.
        expected: Entries the witness knows of, or the number the batch had or should have.
        found: Entries that are there, or the number found.
    """

    code: DifferenceCode
    batch_id: str
    expected: int
    found: int


class State(Frozen):
    """The whole journal in three figures.

    Attributes:
        head: Hexadecimal hash over the id, count and head of every batch, in order.
    """

    batch_count: int
    entry_count: int
    head: str


def state_of(connection: sqlite3.Connection) -> State:
    """The journal as it stands.

    Source: FIPS 180-4 (SHA-256).
    """
    heads = queries.heads(connection)
    text = json.dumps([(each.batch_id, each.entry_count, each.head) for each in heads], separators=(",", ":"))
    return State(
        batch_count=len(heads),
        entry_count=sum(each.entry_count for each in heads),
        head=sha256(text.encode()).hexdigest(),
    )


def all_differences(connection: sqlite3.Connection, claims: Iterable[Claim]) -> tuple[Difference, ...]:
    """Where the journal does not hold what is claimed, and where a number is left out of the batches'.

    Args:
        claims: Read before the journal, so that a writer at work only puts the journal further ahead.
    """
    heads = queries.heads(connection)
    gap = (
        Difference(code="number-gap", batch_id=each.batch_id, expected=due, found=each.number or 0)
        for due, each in enumerate(heads, start=1)
        if each.number != due
    )
    return (*_newest_told(_doubted(connection, heads, claims)), *islice(gap, 1))


def difference(connection: sqlite3.Connection, claim: Claim, there: Claim | None) -> Difference | None:
    """How a batch does not hold what is claimed of it; None for one that does, or has only grown since.

    Args:
        claim: What is claimed; its head may be cut short.
        there: The batch as it stands; None where it is not there.
    """

    def differs(code: DifferenceCode, found: int, expected: int = claim.entry_count) -> Difference:
        return Difference(code=code, batch_id=claim.batch_id, expected=expected, found=found)

    if there is None:
        return differs("batch-gone", 0)
    if there.entry_count < claim.entry_count:
        return differs("entries-gone", there.entry_count)
    if claim.entry_count < 1 or not claim.head:
        return differs("entries-altered", claim.entry_count)
    if not queries.head_at(connection, there, claim.entry_count).startswith(claim.head):
        return differs("entries-altered", claim.entry_count)
    if claim.number is not None and claim.number != there.number:
        return differs("renumbered", there.number or 0, claim.number)
    return None


def _doubted(
    connection: sqlite3.Connection, heads: Iterable[Claim], claims: Iterable[Claim]
) -> dict[Claim, Difference]:
    """Claims that the journal does not bear out."""
    by_id = {each.batch_id: each for each in heads}
    found = {claim: difference(connection, claim, by_id.get(claim.batch_id)) for claim in claims}
    return {claim: each for claim, each in found.items() if each is not None}


def _newest_told(doubted: Mapping[Claim, Difference]) -> tuple[Difference, ...]:
    """Of what is told of a batch in one way, the newest claim says all."""
    found = sorted(doubted.values(), key=lambda each: each.expected)
    return tuple({(each.batch_id, each.code): each for each in found}.values())


def caught_up(connection: sqlite3.Connection, witness: Witness) -> Witness:
    """The witness that says what the journal holds now, and still says what the journal does not bear out.

    Args:
        witness: Read before the journal.
    """
    heads = queries.heads(connection)
    return replace(witness, claims=(*_doubted(connection, heads, witness.claims), *heads))


def _newest(connection: sqlite3.Connection, witness: Witness) -> tuple[tuple[Claim, ...], tuple[Claim, ...]]:
    """Claims to look at when the journal opens, with the batches as they stand: the newest ones, where that is enough.

    All of them where the witness is not whole, knows of other batches than there are, or told of one since it was
    written that is not among the newest.
    """
    count, highest = queries.numbers_given(connection)
    after = highest - _LOOKED_AT_COUNT
    recent = queries.heads(connection, after)
    known = {each.batch_id for each in recent}
    claims = tuple(
        claim for claim in witness.claims if claim.batch_id in known or (claim.number or highest) > after
    )
    is_enough = len(known.union(claim.batch_id for claim in witness.claims)) == count and all(
        claim.batch_id in known for claim in claims
    )
    if witness.standing == "whole" and is_enough:
        return claims, recent
    return witness.claims, queries.heads(connection)


def catch_up(folder: Path, connection: sqlite3.Connection) -> tuple[Notice, ...]:
    """Compare journal and witness at the journal's opening, and bring the witness up to date.

    Args:
        folder: Where both live; what the journal holds must be on the disk.
        connection: The journal, open for writing.

    Returns:
        Notices: "witness-begun", "witness-gone", "witness-altered", "witness-later", "entries-gone",
            "witness-behind".

    Raises:
        JournalError: "journal-gone": not one batch is left of those the witness knows.
    """
    try:
        witness = read_witness(folder)
        looked_at, heads = _newest(connection, witness)
        if not heads and witness.claims:
            refuse_if_gone(folder / _JOURNAL_NAME)
        doubted = tuple(_doubted(connection, heads, looked_at))
        told = _notices(witness, doubted)
        if witness.standing == "later":
            return told
        if witness.standing == "none" and heads:
            told += ("witness-gone" if proof_was_printed(folder) else "witness-begun",)
        seen = frozenset(looked_at)
        others = tuple(claim for claim in witness.claims if claim not in seen)
        now = replace(witness, claims=(*others, *doubted, *heads))
        if witness.standing != "whole":
            is_gone = "witness-gone" in told
            write_witness(folder, replace(now, begun="", standing="altered" if is_gone else now.standing))
        elif witness.added_count or now != witness:
            write_witness(folder, now)
    except OSError:
        return ("witness-behind",)
    except sqlite3.Error:
        return ()  # a damaged journal is told of where it is read
    return told


def doubts(folder: Path, connection: sqlite3.Connection, batch_id: str) -> tuple[Difference, ...]:
    """How this batch, and those looked at when the journal opens, do not hold what the witness knows of them.

    Of each batch the one with the newest claim comes last; none where nothing is known.
    """
    try:
        witness = read_witness(folder)
        looked_at, _ = _newest(connection, witness)
        of_it = (claim for claim in witness.claims if claim.batch_id == batch_id)
        return _newest_told(_doubted(connection, queries.heads(connection), (*looked_at, *of_it)))
    except (OSError, sqlite3.Error):
        return ()  # a witness or a journal that cannot be read is told of by itself


def standing_notices(folder: Path, connection: sqlite3.Connection) -> tuple[Notice, ...]:
    """What a reader should be told of journal and witness: "witness-altered", "witness-later", "entries-gone".

    Args:
        connection: The journal; of what is asked of it nothing is remembered from before.
    """
    try:
        witness = read_witness(folder)
        looked_at, heads = _newest(connection, witness)
        return _notices(witness, tuple(_doubted(connection, heads, looked_at)))
    except (OSError, sqlite3.Error):
        return ()


def _notices(witness: Witness, doubted: tuple[Claim, ...]) -> tuple[Notice, ...]:
    codes: dict[str, tuple[Notice, ...]] = {"altered": ("witness-altered",), "later": ("witness-later",)}
    altered = codes.get(witness.standing, ())
    return (*altered, "entries-gone") if doubted else altered


def settle(path: Path) -> None:
    """Put what a killed writer left onto the disk, so that the witness never knows of more than a power cut leaves.

    Before SQLite opens the file: closing another descriptor of it afterwards would drop its locks.

    Args:
        path: The journal; refused where it is gone though there are `traces` of it.

    Raises:
        JournalError: "journal-gone".
        OSError: The folder could not be flushed.
    """
    if not os.path.lexists(path) or not path.lstat().st_size:
        refuse_if_gone(path)
    for part in (path, Path(f"{path}-journal")):
        with contextlib.suppress(OSError):
            descriptor = os.open(part, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
            try:
                flush_file(descriptor)
            finally:
                os.close(descriptor)
    flush_folder(path.parent)


def refuse_if_gone(path: Path) -> None:
    """Keep a journal that once was from being begun as if it had never been.

    Raises:
        JournalError: "journal-gone" with `traces`.
    """
    missing = absence(path)
    if missing.why is not Plain.NO_JOURNAL:
        raise missing


def absence(path: Path) -> JournalError:
    """What to say of a journal that is not there: "journal-gone" where there are `traces` of one, else "no-journal"."""
    found = traces(path.parent)
    why = JournalGone(path=str(path), traces=tuple(found.items())) if found else Plain.NO_JOURNAL
    return JournalError(why)


def proof_was_printed(folder: Path) -> bool:
    """Whether a written record carries its count and head: then there was a witness when it was written."""
    with contextlib.suppress(OSError):
        return any(
            b'"proof": {' in path.read_bytes() for path in (folder / RECORDS_NAME).glob("batch-*.json")
        )
    return False


def traces(folder: Path) -> dict[str, int]:
    """What shows that a journal was kept in a folder where none lies now, or one without a table in it.

    Returns:
        Counts above 0 by "batches" (the witness knows of), "records", "links" (of open batches), "draws" (batches
        that took stock) and "backups"; none where a journal may begin.
    """
    found = {
        "batches": _claimed_count(folder),
        "records": _count(folder / RECORDS_NAME, "batch-*"),
        "links": _count(folder / LINKS_NAME, "batch-*"),
        "draws": _draw_count(folder),
        "backups": _count(folder / BACKUPS_NAME, "*"),
    }
    return {name: count for name, count in found.items() if count}


def _claimed_count(folder: Path) -> int:
    try:
        witness = read_witness(folder)
    except OSError:
        return 1  # there is one, whatever it says
    return len({claim.batch_id for claim in witness.claims}) or int(witness.standing in ("altered", "later"))


def _count(folder: Path, pattern: str) -> int:
    with contextlib.suppress(OSError):
        return sum(1 for path in folder.glob(pattern) if not path.name.startswith("."))
    return 0


def _draw_count(folder: Path) -> int:
    from mixstation.record.stock_ledger import FILE_NAME

    if not (folder / FILE_NAME).exists():
        return 0
    try:
        with contextlib.closing(open_for_reading(folder / FILE_NAME)) as connection:
            (count,) = connection.execute(_DRAW_COUNT).fetchone()
            return int(count)
    except (StorageError, sqlite3.Error):
        return 0
