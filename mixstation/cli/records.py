"""`mixstation records …`: batch records, listed, shown, written out, and checked against what was stored."""

import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from mixstation.cli.parser import Parser
from mixstation.cli.settings_file import own_settings, read_settings
from mixstation.units.show import DisplayUnits

if TYPE_CHECKING:
    from mixstation.record.journal import Journal
    from mixstation.record.stored import EventStore

# Choice: a screenful; each batch is gone through anew to be listed.
_LISTED = 20


def run(words: Sequence[str]) -> int:
    """One of the record commands; without one, the list. All of them work while a batch runs."""
    parser = Parser(
        prog="mixstation records", description="Batch records. They can be read while a batch runs."
    )
    parser.add_argument("--all", action="store_true", help=f"list all, not only the newest {_LISTED}")
    kinds = parser.add_subparsers(dest="what", metavar="WHAT")
    show = kinds.add_parser("show", help="show one record")
    export = kinds.add_parser("export", help="write one record to a folder, as a page and as JSON")
    kinds.add_parser("audit", help="check journal, witness and written records against each other")
    backup = kinds.add_parser("backup", help="copy everything into a folder; a batch may be running")
    backup.add_argument(
        "folder", metavar="TO", type=Path, nargs="?", help="the folder to make, on another disk"
    )
    restore = kinds.add_parser("restore", help="put a backup back; what is here is moved aside")
    restore.add_argument("folder", metavar="FROM", type=Path, help="the backup's folder")
    kinds.add_parser("salvage", help="begin a fresh journal with all that is whole in a damaged one")
    for one in (show, export):
        one.add_argument("batch", metavar="ID", help="as listed; a part that no other has will do")
        one.add_units(help="what is written in")
    show.add_argument("--json", action="store_true", help="as JSON")
    export.add_argument("folder", metavar="FOLDER", type=Path, help="made if it is not there")
    given = parser.parse_args(words)
    if given.what is None:
        return _list(None if given.all else _LISTED)
    if given.what not in ("show", "export"):
        from mixstation.cli.keeping import KEEPING

        return KEEPING[given.what](given)
    from mixstation.record.stored import find_batch

    units = None if given.units is None else DisplayUnits(given.units)
    if units is None:
        # Away from the bucket a damaged file is refused, whether or not this batch needs its units.
        own_settings()
    with told_journal() as journal:
        batch_id = find_batch(journal, given.batch)
        if given.what == "export":
            print(_write(journal, batch_id, given.folder, units))
        else:
            print(record_texts(journal, batch_id, units)[".json" if given.json else ".md"], end="")
    return 0


def write_record(store: "EventStore", batch_id: str) -> str:
    """Write a batch's record beside the journal, as a page and as JSON.

    Args:
        store: Holds the batch.
        batch_id: The batch.

    Returns:
        A sentence that says where it is, or that it could not be written; the batch itself is stored either way.
    """
    from mixstation.record.paths import data_folder
    from mixstation.wording.entry_lines import not_written
    from mixstation.wording.error_lines import error_line

    try:
        return _write(store, batch_id, data_folder() / "records")
    except Exception as error:
        # The batch is over and stored: a page that fails must not pass for a lost batch.
        return not_written(batch_id, error_line(error))


def _own_units() -> DisplayUnits:
    """What the mixer reads in; metric where the settings do not say it so that it can be read."""
    from mixstation.cli.settings_file import as_far_as_read

    return DisplayUnits(str(as_far_as_read(read_settings)[0].get("units", "metric")))


@contextmanager
def told_journal() -> "Iterator[Journal]":
    """The journal as it lies there, once what there is to tell of it is told."""
    from mixstation.record.journal import Journal
    from mixstation.record.paths import data_folder

    with closing(Journal.open_reading(data_folder())) as journal:
        say_notices(journal)
        yield journal


def say_notices(journal: "Journal") -> None:
    """Tell what befell the storage."""
    from mixstation.wording.storage_lines import notice_line

    for notice in journal.notices():
        print(notice_line(notice), file=sys.stderr)


def _list(most: int | None) -> int:
    """The newest batches, or all of them; a home without any is no fault."""
    from mixstation.record.errors import JournalError
    from mixstation.record.journal_there import journal_there
    from mixstation.record.paths import data_folder
    from mixstation.record.trouble import Plain
    from mixstation.wording.command_lines import OLDER
    from mixstation.wording.storage_lines import storage_line

    with journal_there(data_folder()) as journal:
        if journal is None:
            print(storage_line(JournalError(Plain.NO_JOURNAL)))
            return 0
        say_notices(journal)
        rows = journal.batches()
        print_listed(journal, (row.batch_id for row in rows[:most]))
        if most is not None and len(rows) > most:
            print(OLDER.format(count=len(rows) - most))
    return 0


def print_listed(store: "EventStore", batch_ids: Iterable[str]) -> None:
    """Print a line for each batch; one that cannot be read keeps no other from being listed."""
    from mixstation.account.listing import listed
    from mixstation.batch.run import FoldError
    from mixstation.record.codec import CodecError, stored_entries
    from mixstation.record.errors import JournalError
    from mixstation.units.clean import clean
    from mixstation.wording.error_lines import reason

    for batch_id in batch_ids:
        try:
            print(listed(batch_id, stored_entries(store, batch_id)))
        except (JournalError, CodecError, FoldError) as error:
            print(f"{clean(batch_id, 100)}  {reason(error)}", file=sys.stderr)


def record_texts(store: "EventStore", batch_id: str, units: DisplayUnits | None = None) -> dict[str, str]:
    """The record of a batch as a page and as JSON, by the ending of its file.

    Args:
        units: What it is written in; None for those it was mixed in, else those of the settings.
    """
    from mixstation.account.batch_record import batch_record
    from mixstation.account.markdown import as_markdown
    from mixstation.account.record_json import as_json
    from mixstation.batch.run import fold
    from mixstation.record.codec import read

    events = store.events(batch_id)
    entries = tuple(read(event.seq, event.body) for event in events)
    own = fold(entries).settings
    units = units or (_own_units() if own is None else own.units)
    record = batch_record(entries, units, events[-1].chain if events else "")
    return {".md": as_markdown(record), ".json": as_json(record)}


def _write(store: "EventStore", batch_id: str, folder: Path, units: DisplayUnits | None = None) -> str:
    """Write both files; says where they are. Units as for `record_texts`."""
    from mixstation.record.paths import data_folder, file_stem_for, make_private_folder, write_file_safely
    from mixstation.record.proof import RECORDS_NAME
    from mixstation.record.witness import add_file
    from mixstation.units.clean import clean
    from mixstation.wording.entry_lines import WRITTEN

    page = folder / f"{file_stem_for(batch_id)}.md"
    texts = record_texts(store, batch_id, units)
    make_private_folder(folder)
    for ending, text in texts.items():
        write_file_safely(page.with_suffix(ending), text)
        # Without its sum the audit compares the file with what would be written now.
        if folder.resolve() == (data_folder() / RECORDS_NAME).resolve():
            add_file(data_folder(), page.with_suffix(ending).name, text.encode())
    return WRITTEN.format(page=clean(str(page), 300))
