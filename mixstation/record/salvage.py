"""A way on past a damaged or lost journal: what can be read is carried into a fresh one, and nothing is deleted."""

import contextlib
import json
import sqlite3
from collections.abc import Iterable, Mapping
from pathlib import Path

from mixstation.frozen import Frozen
from mixstation.record import queries
from mixstation.record.carve import carve
from mixstation.record.chain import EventRow, chain_faults
from mixstation.record.durable import open_durable, reading_copy, transaction
from mixstation.record.errors import JournalError, reported
from mixstation.record.exchange import REMAINS_NAME as EXCHANGE_REMAINS
from mixstation.record.exchange import exchange, finish_exchange, make_ready, unfinished
from mixstation.record.journal import FILE_NAME
from mixstation.record.journal_folder import LOCK_NAME, FolderLock
from mixstation.record.paths import file_stem_for, flush_folder, make_private_folder, write_file_safely
from mixstation.record.proof import RECORDS_NAME, all_differences, traces
from mixstation.record.tables import JOURNAL_TABLES
from mixstation.record.trouble import AtPath
from mixstation.record.witness import FILE_NAME as WITNESS_NAME
from mixstation.record.witness import Claim, Witness, read_witness, write_witness

REMAINS_NAME = "readable.jsonl"
_COMPANIONS = ("-journal", "-wal", "-shm")


class Found(Frozen):
    """What could be read of one batch.

    Attributes:
        batch_id: The batch; "" where its name was lost.
        number: What it was filed under; 0 where only the witness knows of it.
        rows: Its events that could be read, in order.
        claims: All that the witness says of it, the furthest last; none where it says nothing.
    """

    batch_id: str
    number: int
    rows: tuple[EventRow, ...]
    claims: tuple[Claim, ...]

    @property
    def known(self) -> Claim | None:
        """The claim that reaches furthest."""
        return self.claims[-1] if self.claims else None

    @property
    def is_whole(self) -> bool:
        """Whether the chain holds from the first entry on and bears out every claim of the witness.

        What was written on after entries were cut off bears out the newest claim, and an earlier one not.
        """
        if not self.rows or any(chain_faults(self.batch_id.encode(), self.rows)):
            return False
        return all(
            1 <= claim.entry_count <= len(self.rows)
            and self.rows[claim.entry_count - 1][3].hex() == claim.head
            for claim in self.claims
        )


class Salvaged(Frozen):
    """What was done.

    Attributes:
        outcome: "salvaged", "finished" (an exchange that had broken off was finished), "sound" (nothing was wrong
            with the journal) or "nothing" (there never was a journal); only the first two changed anything.
        aside: The folder that holds what was there before; None where nothing was moved.
        found: All batches, the oldest first.
    """

    outcome: str
    aside: Path | None = None
    found: tuple[Found, ...] = ()


def salvage(folder: Path) -> Salvaged:
    """Begin a fresh journal with every batch that proves itself whole; all else is moved aside.

    Raises:
        JournalError: "in-use", "written-later" (by a later program), "disk-full", "not-permitted", "read-only",
            "storage-failed".
    """
    with reported(folder, JournalError), contextlib.ExitStack() as leaving:
        leaving.callback(FolderLock(folder / LOCK_NAME).release)
        if unfinished(folder):
            finish_exchange(folder)
            return Salvaged(outcome="finished")
        finish_exchange(folder)  # moves aside one that nobody can read
        return _salvage(folder)


def _salvage(folder: Path) -> Salvaged:
    path, witness = folder / FILE_NAME, read_witness(folder)
    there = path.is_file() and not path.is_symlink()
    if not (there and path.stat().st_size) and not traces(folder):
        return Salvaged(outcome="nothing")
    found, sound = _read(path, witness) if there else ((), False)
    read = {each.batch_id for each in found}
    found += tuple(
        Found(batch_id=batch_id, number=0, rows=(), claims=claims)
        for batch_id, claims in _claims(witness).items()
        if batch_id not in read
    )
    if sound and witness.standing != "altered" and not witness.found_altered:
        return Salvaged(outcome="sound", found=found)
    whole = [each for each in found if each.is_whole]
    new = make_ready(folder)
    _write_journal(new, whole, witness)
    kept_stems = {file_stem_for(each.batch_id) for each in whole}
    stray = [
        f"{RECORDS_NAME}/{page.name}"
        for page in (folder / RECORDS_NAME).glob("batch-*")
        if page.stem not in kept_stems
    ]
    remains = new.with_name(EXCHANGE_REMAINS)
    make_private_folder(remains)
    write_file_safely(remains / REMAINS_NAME, _as_lines(each for each in found if not each.is_whole))
    aside = exchange(folder, [*(FILE_NAME + end for end in ("", *_COMPANIONS)), WITNESS_NAME, *stray])
    return Salvaged(outcome="salvaged", aside=aside, found=found)


def _read(path: Path, witness: Witness) -> tuple[tuple[Found, ...], bool]:
    """Every batch in a file, and whether nothing is wrong with it; read from a copy, so the file stays as it is."""
    with reading_copy(path) as copy:
        sound = False
        try:
            # Opening the copy to write undoes what a killed writer left half done.
            with contextlib.closing(open_durable(copy, create=False)) as connection:
                if JOURNAL_TABLES.standing(connection) == "newer":
                    raise JournalError(AtPath(code="written-later", path=str(path)))
                sound = JOURNAL_TABLES.standing(connection) == "current"
                sound = sound and not queries.file_faults(connection)
                sound = sound and not all_differences(connection, witness.claims)
        except JournalError as error:
            if error.code == "written-later":
                raise
        except (sqlite3.Error, UnicodeDecodeError):
            pass
        names, events = carve(copy.read_bytes())
    claims, found = _claims(witness), []
    for number in sorted({*names, *events}):
        rows = tuple(row for _, row in sorted(events.get(number, {}).items()))
        batch_id = _name_of(names.get(number), rows)
        found.append(Found(batch_id=batch_id, number=number, rows=rows, claims=claims.get(batch_id, ())))
    return tuple(found), sound


def _claims(witness: Witness) -> dict[str, tuple[Claim, ...]]:
    """All claims of each batch, the furthest last."""
    claims: dict[str, tuple[Claim, ...]] = {}
    for claim in sorted(witness.claims, key=lambda claim: claim.entry_count):
        claims[claim.batch_id] = (*claims.get(claim.batch_id, ()), claim)
    return claims


def _name_of(name: bytes | None, rows: tuple[EventRow, ...]) -> str:
    """The batch's id: from its own table, else as its first entry says; the chain then proves it or does not."""
    try:
        if name is not None:
            return name.decode()
        return str(json.loads(rows[0][2])["fact"]["batch_id"])
    except (ValueError, LookupError, TypeError, RecursionError):
        return ""


def _write_journal(folder: Path, whole: Iterable[Found], witness: Witness) -> None:
    with contextlib.closing(open_durable(folder / FILE_NAME)) as connection:
        JOURNAL_TABLES.bring_up_to_date(connection)
        with transaction(connection):
            for number, batch in enumerate(whole, start=1):
                connection.execute("INSERT INTO batch VALUES (?, ?)", (number, batch.batch_id))
                connection.executemany(
                    "INSERT INTO event VALUES (?, ?, ?, ?, ?)",
                    (
                        (number, seq, kind.decode(), body.decode(), link)
                        for seq, kind, body, link in batch.rows
                    ),
                )
        if queries.file_faults(connection):
            raise JournalError(
                AtPath(
                    code="storage-failed", path=str(folder), detail="the fresh journal does not prove itself"
                )
            )
        claims = queries.heads(connection)
    stems = {file_stem_for(claim.batch_id) for claim in claims}
    files: Mapping[str, str] = {
        name: total for name, total in witness.files.items() if Path(name).stem in stems
    }
    write_witness(folder, Witness(claims=claims, files=files))
    for end in _COMPANIONS:
        (folder / f"{FILE_NAME}{end}").unlink(missing_ok=True)
    flush_folder(folder)


def _as_lines(found: Iterable[Found]) -> str:
    """Every event that was read and not carried over, one JSON object a line."""
    return "".join(
        json.dumps(
            {
                "batch": batch.batch_id,
                "number": batch.number,
                "seq": seq,
                "kind": kind.decode("utf-8", "replace"),
                "body": body.decode("utf-8", "replace"),
                "chain": link.hex(),
            }
        )
        + "\n"
        for batch in found
        for seq, kind, body, link in batch.rows
    )
