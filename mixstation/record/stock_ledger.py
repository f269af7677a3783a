"""The stock on hand: an append-only ledger of what was received, drawn by batches, and counted.

It lies in a file of its own beside the journal, so that a delivery can be entered while a batch is mixed. Every entry
has a name given by the caller; entering it again changes nothing, so a call may be repeated after any failure.
"""

import contextlib
import sqlite3
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Literal

from mixstation.frozen import Frozen
from mixstation.plan.stock import StockLine, take
from mixstation.record.durable import open_durable, open_for_reading, transaction
from mixstation.record.errors import STORAGE_FAULTS, StorageError, reported, unusable
from mixstation.record.exchange import finish_before_writing
from mixstation.record.paths import make_private_folder
from mixstation.record.tables import Tables
from mixstation.record.trouble import AtPath
from mixstation.units.clean import clean

FILE_NAME = "stock.sqlite3"
MAX_MASS_MG = 10**12
"""A thousand tonnes; more is a slip. Source: Choice."""

MovementKind = Literal["received", "drawn", "counted"]
DrawOutcome = Literal["drawn", "drawn-before", "drawn-otherwise"]

_STATEMENTS = (
    f"""
    CREATE TABLE movement (
        number INTEGER PRIMARY KEY,
        kind TEXT NOT NULL CHECK (kind IN ('received', 'drawn', 'counted')),
        entry TEXT NOT NULL,
        at_ms INTEGER NOT NULL,
        who TEXT NOT NULL,
        material TEXT NOT NULL,
        lot TEXT NOT NULL,
        pack_mg INTEGER NOT NULL CHECK (pack_mg BETWEEN 0 AND {MAX_MASS_MG}),
        mass_mg INTEGER NOT NULL CHECK (mass_mg BETWEEN -{MAX_MASS_MG} AND {MAX_MASS_MG}),
        note TEXT NOT NULL,
        UNIQUE (kind, entry, material, lot)
    ) STRICT
    """,
    # This also stops INSERT OR REPLACE, which removes a row without firing a DELETE trigger.
    """
    CREATE TRIGGER movement_comes_next BEFORE INSERT ON movement
    WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM movement)
        OR EXISTS (SELECT 1 FROM movement WHERE (kind, entry, material, lot)
            = (NEW.kind, NEW.entry, NEW.material, NEW.lot))
    BEGIN SELECT RAISE(ABORT, 'a movement takes the next number and a new entry'); END
    """,
    *(
        f"""
        CREATE TRIGGER movement_refuses_{action.lower()} BEFORE {action} ON movement
        BEGIN SELECT RAISE(ABORT, 'nothing entered is changed or removed'); END
        """
        for action in ("UPDATE", "DELETE")
    ),
)

TABLES = Tables(application_id=0x6D697874, statements=_STATEMENTS)

# The size of pack last named for a lot; the lot first received comes first.
_ON_HAND = """
    SELECT material, lot, sum(mass_mg),
        coalesce((SELECT pack_mg FROM movement AS named WHERE named.material = movement.material
            AND named.lot = movement.lot AND pack_mg > 0 ORDER BY number DESC LIMIT 1), 0)
    FROM movement GROUP BY material, lot ORDER BY min(number)
"""


class Movement(Frozen):
    """One line of the ledger.

    Attributes:
        number: From 1, without gaps.
        entry: The caller's name for it; the batch for what was drawn.
        at_ms: Milliseconds since 1970 UTC, as the caller said.
        material: Key, the same in every recipe of the shop.
        lot: Lot or bag mark; "" where none is known.
        pack_mg: Net mass of a full pack; 0 where not named.
        mass_mg: Change of what is on hand.
    """

    number: int
    kind: MovementKind
    entry: str
    at_ms: int
    who: str
    material: str
    lot: str
    pack_mg: int
    mass_mg: int
    note: str


class StockLedger:
    """What is on hand, lot by lot. Every call comes from the thread that opened it.

    A call raises `StorageError` when the ledger cannot be read, or an entry was not stored or may not have been: call
    again.
    """

    def __init__(self, path: Path, connection: sqlite3.Connection, *, read_only: bool = False) -> None:
        """Use `open` instead."""
        self._path = path
        self._connection: sqlite3.Connection | None = connection
        self.read_only = read_only

    @classmethod
    def open(cls, folder: Path) -> "StockLedger":
        """Open the ledger, making it if it is not there; it is `read_only` where a later program wrote it.

        Raises:
            StorageError: "in-use" while files are exchanged, "not-a-journal" for a file that is something else,
                "folder-unusable", "disk-full", "file-damaged", "busy", "sqlite-too-old", "durability-refused",
                "storage-failed".
        """
        path = folder / FILE_NAME
        try:
            make_private_folder(folder)
        except OSError as error:
            raise StorageError(unusable(folder, error)) from error
        with reported(path), contextlib.ExitStack() as undo:
            finish_before_writing(folder)
            connection = open_durable(path)
            undo.callback(connection.close)
            standing = TABLES.standing(connection)
            if standing in ("empty", "older"):
                TABLES.bring_up_to_date(connection)
            if standing != "newer":
                undo.pop_all()
                return cls(path, connection)
        with reported(path):
            return cls(path, open_for_reading(path), read_only=True)

    def on_hand(self) -> tuple[StockLine, ...]:
        """Everything on hand, the lot first entered first; below 0 more was drawn than was entered: count that lot."""
        with reported(self._path):
            rows = self._connected().execute(_ON_HAND).fetchall()
        return tuple(
            StockLine(material=material, lot=lot, mass_mg=mass_mg, pack_mg=pack_mg)
            for material, lot, mass_mg, pack_mg in rows
            if mass_mg
        )

    def movements(self) -> tuple[Movement, ...]:
        """The whole ledger, oldest first."""
        names = ", ".join(Movement.__dataclass_fields__)
        with reported(self._path):
            rows = self._connected().execute(f"SELECT {names} FROM movement ORDER BY number").fetchall()
        return tuple(Movement(**dict(zip(Movement.__dataclass_fields__, row, strict=True))) for row in rows)

    def receive(
        self,
        entry: str,
        *,
        at_ms: int,
        who: str,
        material: str,
        mass_mg: int,
        lot: str = "",
        pack_mg: int = 0,
        note: str = "",
    ) -> bool:
        """Enter a delivery; true once it is durable, false where it had been entered before.

        Args:
            mass_mg: All of it, above 0.
            pack_mg: Net mass of a pack; 0 for loose material.

        Raises:
            ValueError: A mass out of bounds.
        """
        if not 0 < mass_mg <= MAX_MASS_MG or not 0 <= pack_mg <= MAX_MASS_MG:
            raise ValueError(f"{mass_mg} mg in packs of {pack_mg} mg cannot be received")
        with self._writing() as connection:
            if self._entered(connection, "received", entry):
                return False
            self._add(connection, "received", entry, at_ms, who, material, lot, pack_mg, mass_mg, note)
        return True

    def count(
        self, entry: str, *, at_ms: int, who: str, material: str, mass_mg: int, lot: str = "", note: str = ""
    ) -> bool:
        """Enter a stock-take: what really is there of one lot, 0 or more; returns as `receive`.

        Raises:
            ValueError: A mass out of bounds.
        """
        if not 0 <= mass_mg <= MAX_MASS_MG:
            raise ValueError(f"{mass_mg} mg cannot have been counted")
        with self._writing() as connection:
            if self._entered(connection, "counted", entry):
                return False
            there_mg = self._lot_mg(connection, _key(material), _mark(lot))
            self._add(connection, "counted", entry, at_ms, who, material, lot, 0, mass_mg - there_mg, note)
        return True

    def draw(
        self,
        batch_id: str,
        amounts_mg: Mapping[str, int],
        *,
        at_ms: int,
        who: str,
        lots: Mapping[str, Mapping[str, int]] | None = None,
    ) -> DrawOutcome:
        """Take off what a batch used, by its actual readings.

        What is not on hand is taken off all the same: the mix holds it, so the ledger was wrong, and shows it.

        Args:
            batch_id: The batch; it draws once.
            amounts_mg: Used, by material key; nothing below 0.
            lots: Of that, what is known to come out of which lot, by material key and lot; of the rest open packs
                first, then the oldest lot.

        Returns:
            "drawn" once it is durable, "drawn-before" where this batch had drawn the same, "drawn-otherwise" where it
            had drawn something else: nothing is changed then.

        Raises:
            ValueError: A mass out of bounds.
        """
        known = {_key(material): parts for material, parts in (lots or {}).items()}
        used = {_key(material): mass_mg for material, mass_mg in amounts_mg.items() if mass_mg}
        if any(not 0 < mass_mg <= MAX_MASS_MG for mass_mg in used.values()):
            raise ValueError(f"{used} cannot have been used")
        with self._writing() as connection:
            before = connection.execute(
                "SELECT material, -sum(mass_mg) FROM movement WHERE kind = 'drawn' AND entry = ? GROUP BY material",
                (_mark(batch_id),),
            ).fetchall()
            if before:
                return "drawn-before" if dict(before) == used else "drawn-otherwise"
            for material, mass_mg in used.items():
                for lot, part_mg in self._parts(connection, material, mass_mg, known.get(material, {})):
                    self._add(connection, "drawn", batch_id, at_ms, who, material, lot, 0, -part_mg, "")
        return "drawn"

    def close(self) -> None:
        """Let go of the file; doing so twice is harmless."""
        if self._connection is not None:
            with contextlib.suppress(sqlite3.Error):
                self._connection.close()
            self._connection = None

    def _parts(
        self, connection: sqlite3.Connection, material: str, mass_mg: int, known: Mapping[str, int]
    ) -> list[tuple[str, int]]:
        parts = {_mark(lot): part_mg for lot, part_mg in known.items() if part_mg}
        rest_mg = mass_mg - sum(parts.values())
        if not rest_mg:
            return list(parts.items())
        lines = [
            StockLine(
                material=material,
                lot=line_lot,
                mass_mg=max(0, held_mg - parts.get(line_lot, 0)),
                pack_mg=pack_mg,
            )
            for line_material, line_lot, held_mg, pack_mg in connection.execute(_ON_HAND)
            if line_material == material
        ]
        found = take(material, rest_mg, lines)
        for draw in found.draws:
            parts[draw.lot] = parts.get(draw.lot, 0) + draw.mass_mg
        if found.short_mg:
            last = found.draws[-1].lot if found.draws else lines[-1].lot if lines else ""
            parts[last] = parts.get(last, 0) + found.short_mg
        return list(parts.items())

    @contextlib.contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        if self.read_only:
            raise StorageError(AtPath(code="read-only", path=str(self._path)))
        with reported(self._path):
            try:
                connection = self._connected()
                with transaction(connection):
                    yield connection
            except STORAGE_FAULTS:
                # What a failed commit left behind shows only in the file opened anew.
                self.close()
                raise

    def _connected(self) -> sqlite3.Connection:
        if self._connection is None:
            # Not made anew: where the disk went away, what is there now is not our ledger.
            self._connection = open_durable(self._path, create=False)
        return self._connection

    @staticmethod
    def _entered(connection: sqlite3.Connection, kind: MovementKind, entry: str) -> bool:
        found = connection.execute(
            "SELECT 1 FROM movement WHERE kind = ? AND entry = ?", (kind, _mark(entry))
        ).fetchone()
        return found is not None

    @staticmethod
    def _lot_mg(connection: sqlite3.Connection, material: str, lot: str) -> int:
        (mass_mg,) = connection.execute(
            "SELECT coalesce(sum(mass_mg), 0) FROM movement WHERE material = ? AND lot = ?", (material, lot)
        ).fetchone()
        return int(mass_mg)

    @staticmethod
    def _add(
        connection: sqlite3.Connection,
        kind: MovementKind,
        entry: str,
        at_ms: int,
        who: str,
        material: str,
        lot: str,
        pack_mg: int,
        mass_mg: int,
        note: str,
    ) -> None:
        connection.execute(
            "INSERT INTO movement SELECT coalesce(max(number), 0) + 1, ?, ?, ?, ?, ?, ?, ?, ?, ? FROM movement",
            (
                kind,
                _mark(entry),
                at_ms,
                clean(who, 100),
                _key(material),
                _mark(lot),
                pack_mg,
                mass_mg,
                clean(note, 500),
            ),
        )


def _key(material: str) -> str:
    return clean(material, 60)


def _mark(text: str) -> str:
    return clean(text, 120)
