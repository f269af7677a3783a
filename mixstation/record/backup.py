"""A whole home copied away and put back: journal, witness, stock, plans, records and settings, proven both times."""

import contextlib
import json
import shutil
from collections.abc import Iterator
from datetime import datetime
from hashlib import sha256
from pathlib import Path, PurePosixPath
from typing import Any

from mixstation.frozen import Frozen
from mixstation.record import proof
from mixstation.record.durable import open_for_reading
from mixstation.record.errors import StorageError, reported
from mixstation.record.exchange import (
    ASIDE_NAME,
    INCOMING_NAME,
    exchange,
    finish_exchange,
    fresh,
    make_ready,
    stamp_now,
)
from mixstation.record.journal import BALLAST_NAME, FILE_NAME, Journal
from mixstation.record.journal_folder import LOCK_NAME, FolderLock
from mixstation.record.paths import flush_file, flush_folder, make_private_folder, write_file_safely
from mixstation.record.proof import BACKUPS_NAME
from mixstation.record.stock_ledger import FILE_NAME as STOCK_NAME
from mixstation.record.trouble import AtPath
from mixstation.record.witness import FILE_NAME as WITNESS_NAME
from mixstation.record.witness import read_witness, write_witness

LIST_NAME = "list.json"
_FORM = 1
_PIECE_BYTES = 1 << 20
_NOT_COPIED = frozenset({ASIDE_NAME, BACKUPS_NAME, INCOMING_NAME, LOCK_NAME, BALLAST_NAME, "links"})
_DATABASES = tuple(name + end for name in (FILE_NAME, STOCK_NAME) for end in ("", "-journal", "-wal", "-shm"))


class Backup(Frozen):
    """A backup that has been proven."""

    folder: Path
    made: str
    state: proof.State
    file_count: int


def back_up(data: Path, config: Path, to: Path | None, program: str) -> Backup:
    """Copy a home; a batch may be running.

    Args:
        data: Where journal, stock, plans and records live.
        config: Where settings, own recipes and scale profiles live; it need not be there.
        to: The folder to make; None for one named after the time, beside the journal.
        program: The version to write on it.

    Raises:
        JournalError: There is no journal, or it cannot be read.
        StorageError: "backup-there" where something has that name already; "backup-damaged"; what kept it from
            being written.
    """
    target = to or fresh(data / BACKUPS_NAME / stamp_now())
    if target.exists():
        raise StorageError(AtPath(code="backup-there", path=str(target)))
    unready = target.with_name(f".unfinished-{target.name}")
    with reported(target), contextlib.ExitStack() as leaving:
        leaving.callback(shutil.rmtree, unready, ignore_errors=True)
        shutil.rmtree(unready, ignore_errors=True)
        make_private_folder(unready / "data")
        with contextlib.closing(Journal.open_reading(data)) as journal:
            witness = read_witness(data)
            journal.back_up(unready / "data" / FILE_NAME)
        # Of the copy, not of the journal: a batch that runs has stored more in it meanwhile.
        with contextlib.closing(open_for_reading(unready / "data" / FILE_NAME)) as copied:
            now = proof.caught_up(copied, witness)
            differing_count = len(proof.all_differences(copied, witness.claims))
        write_witness(unready / "data", now)
        if (data / STOCK_NAME).exists():
            with contextlib.closing(open_for_reading(data / STOCK_NAME)) as stock:
                stock.execute("VACUUM INTO ?", (str(unready / "data" / STOCK_NAME),))
            _flush(unready / "data" / STOCK_NAME)
        # Some systems keep settings and data in one folder: it is copied once.
        own = () if config.resolve() == data.resolve() else _files(config, "config")
        for source, name in (*_files(data, "data"), *own):
            make_private_folder((unready / name).parent)
            shutil.copyfile(source, unready / name)
            _flush(unready / name)
        files = {
            str(path.relative_to(unready)): _sum(path)
            for path in sorted(unready.rglob("*"))
            if path.is_file()
        }
        made = f"{datetime.now().astimezone():%Y-%m-%d %H:%M:%S %z}"
        listed = {
            "form": _FORM,
            "made": made,
            "program": program,
            "differing": differing_count,
            "files": files,
        }
        write_file_safely(unready / LIST_NAME, json.dumps(listed, indent=1))
        prove(unready)
        unready.rename(target)
        flush_folder(target.parent)
    return prove(target)


def prove(folder: Path) -> Backup:
    """Read a backup from end to end.

    Raises:
        StorageError: "not-a-backup", "backup-damaged" (`path`).
    """
    try:
        listed: Any = json.loads((folder / LIST_NAME).read_text("utf-8"))
        files: dict[str, str] = {_inside(name): str(total) for name, total in listed["files"].items()}
        made, form = str(listed["made"]), int(listed["form"])
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError) as error:
        raise StorageError(AtPath(code="not-a-backup", path=str(folder))) from error
    if form != _FORM or f"data/{FILE_NAME}" not in files:
        raise StorageError(AtPath(code="not-a-backup", path=str(folder)))
    for name, total in files.items():
        try:
            sound = (folder / name).is_file() and _sum(folder / name) == total
        except OSError:
            sound = False
        if not sound:
            raise StorageError(AtPath(code="backup-damaged", path=str(folder / name)))
    with contextlib.closing(Journal.open_reading(folder / "data")) as journal:
        claims = read_witness(folder / "data").claims
        differing_count = len(journal.ask(lambda connection: proof.all_differences(connection, claims)))
        # What journal and witness did not agree on where they were copied is no fault of the copy; an older list may
        # count what is told of one batch more than once.
        if journal.audit() or differing_count > listed.get("differing", differing_count):
            raise StorageError(AtPath(code="backup-damaged", path=str(folder / "data" / FILE_NAME)))
        return Backup(folder=folder, made=made, state=journal.ask(proof.state_of), file_count=len(files))


def restore(source: Path, data: Path, config: Path) -> tuple[Backup, Path]:
    """Put a backup in place of what is there, which is moved aside; the folder that then holds that is given too.

    Raises:
        StorageError: As `prove`; nothing has changed then. What kept it from being written.
        JournalError: "in-use".
    """
    backup = prove(source)
    with reported(data), contextlib.ExitStack() as leaving:
        make_private_folder(data)
        leaving.callback(FolderLock(data / LOCK_NAME).release)
        finish_exchange(data)
        _copy_listed(source, "data", make_ready(data))
        # Settings first, each replaced whole: cut off here the old journal stands, and restoring again does the rest.
        aside = fresh(data / ASIDE_NAME / stamp_now())
        _restore_config(source, config, aside / "config")
        exchange(data, [path.name for path in data.iterdir() if path.name not in _NOT_COPIED], aside)
    return backup, aside


def _restore_config(source: Path, config: Path, aside: Path) -> None:
    """Settings, recipes and profiles one by one: one that is there and differs is copied aside first."""
    for path, name in _listed(source, "config"):
        target = config / name
        if target.is_file() and _sum(target) == _sum(path):
            continue
        if target.exists():
            make_private_folder((aside / name).parent)
            shutil.copyfile(target, aside / name)
            _flush(aside / name)
        make_private_folder(target.parent)
        new = target.with_name(f".unfinished-{target.name}")
        shutil.copyfile(path, new)
        _flush(new)
        new.replace(target)
        flush_folder(target.parent)


def _listed(source: Path, part: str) -> Iterator[tuple[Path, Path]]:
    """Files of a proven backup's part and their names in it; one that lies there unlisted was proven by nothing."""
    for listed in json.loads((source / LIST_NAME).read_text("utf-8"))["files"]:
        name = Path(listed)
        if name.parts[0] == part:
            yield source / name, name.relative_to(part)


def _copy_listed(source: Path, part: str, target: Path) -> None:
    for path, name in _listed(source, part):
        to = target / name
        make_private_folder(to.parent)
        shutil.copyfile(path, to)
        _flush(to)


def _files(folder: Path, name: str) -> Iterator[tuple[Path, str]]:
    """Ordinary files of a home and their names in a backup; databases and what is only of this moment left out."""
    if not folder.is_dir():
        return
    for path in sorted(folder.rglob("*")):
        inside = path.relative_to(folder)
        left_out = inside.parts[0] in _NOT_COPIED or any(part.startswith(".") for part in inside.parts)
        if name == "data":
            left_out |= str(inside) in (*_DATABASES, WITNESS_NAME)
        if not left_out and path.is_file() and not path.is_symlink():
            yield path, f"{name}/{inside}"


def _inside(name: str) -> str:
    """A listed name, if it stays inside the backup."""
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or path.parts[0] not in ("data", "config"):
        raise ValueError(name)
    return name


def _sum(path: Path) -> str:
    total = sha256()
    with path.open("rb") as file:
        while piece := file.read(_PIECE_BYTES):
            total.update(piece)
    return total.hexdigest()


def _flush(path: Path) -> None:
    path.chmod(0o600)
    with path.open("rb") as file:
        flush_file(file.fileno())
    flush_folder(path.parent)
