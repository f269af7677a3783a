"""`mixstation records audit, backup, restore, salvage`: that the records are whole, and stay so."""

import argparse
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from mixstation import __version__

if TYPE_CHECKING:
    from mixstation.account.pages import PageFault
    from mixstation.record.journal import Journal


def add_keeping(kinds: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """The words of these commands."""
    backup = kinds.add_parser("backup", help="copy everything into a folder; a batch may be running")
    backup.add_argument(
        "folder", metavar="TO", type=Path, nargs="?", help="the folder to make, on another disk"
    )
    restore = kinds.add_parser("restore", help="put a backup back; what is here is moved aside")
    restore.add_argument("folder", metavar="FROM", type=Path, help="the backup's folder")
    kinds.add_parser("salvage", help="begin a fresh journal with all that is whole in a damaged one")


def audit(journal: "Journal") -> int:
    """Compare journal, witness, numbers of batches and written records, and say what that proves."""
    from mixstation.record import proof
    from mixstation.record.exchange import ASIDE_NAME
    from mixstation.record.paths import data_folder
    from mixstation.record.witness import read_witness
    from mixstation.wording import proof_lines as words
    from mixstation.wording.storage_lines import chain_line

    folder = data_folder()
    # The witness first: a batch that runs meanwhile only puts the journal further ahead of it.
    witness = read_witness(folder)
    damage = journal.audit()
    faults = [chain_line(fault) for fault in damage]
    notes: list[str] = []
    if witness.standing == "altered":
        faults.append(words.WITNESS_ALTERED)
    if witness.standing == "none" and proof.proof_was_printed(folder):
        faults.append(words.WITNESS_GONE)
    if not damage:
        differing = journal.ask(lambda connection: proof.all_differences(connection, witness.claims))
        faults += map(words.difference_line, differing)
        for fault in _page_faults(journal, folder / proof.RECORDS_NAME, witness.files):
            line = words.page_line(fault, str(folder / proof.RECORDS_NAME))
            (notes if fault.code == "page-unproven" else faults).append(line)
    notes += (words.SET_ASIDE.format(path=aside) for aside in sorted((folder / ASIDE_NAME).glob("*")))
    print("\n".join((*faults, *notes)), end="\n" if faults or notes else "")
    if faults:
        print(words.WAY_ON_DAMAGED if damage else words.WAY_ON)
        return 1
    print(f"{words.state_said(journal.ask(proof.state_of))}: all as it was stored.")
    print(words.KNOWS_NOT.format(begun=witness.begun) if witness.begun else words.NO_WITNESS)
    return 0


def _page_faults(journal: "Journal", records: Path, files: Mapping[str, str]) -> "Iterator[PageFault]":
    from mixstation.account.pages import page_faults
    from mixstation.cli.records import record_texts
    from mixstation.record import proof
    from mixstation.record.paths import file_stem_for

    return page_faults(
        records,
        files,
        {file_stem_for(row.batch_id): row.batch_id for row in journal.batches()},
        lambda batch_id, units: record_texts(journal, batch_id, units),
        lambda claim: not journal.ask(lambda connection: proof.differences(connection, (claim,))),
    )


def _backup(given: argparse.Namespace) -> int:
    from mixstation.folders import home_config
    from mixstation.record.backup import back_up
    from mixstation.record.paths import data_folder
    from mixstation.wording import proof_lines as words

    made = back_up(data_folder(), home_config(), given.folder, __version__)
    print(words.BACKED_UP.format(folder=made.folder, state=words.state_said(made.state)))
    return 0


def _restore(given: argparse.Namespace) -> int:
    from mixstation.folders import home_config
    from mixstation.record.backup import restore
    from mixstation.record.paths import data_folder
    from mixstation.wording import proof_lines as words

    backup, aside = restore(given.folder, data_folder(), home_config())
    print(words.RESTORED.format(made=backup.made, state=words.state_said(backup.state), aside=aside))
    return 0


def _salvage(_given: argparse.Namespace) -> int:
    from mixstation.record.paths import data_folder
    from mixstation.record.salvage import salvage
    from mixstation.wording import proof_lines as words

    done = salvage(data_folder())
    if done.outcome == "salvaged":
        for found in done.found:
            print(words.found_line(found))
    print(words.salvaged_line(done))
    return 0


KEEPING: Mapping[str, Callable[[argparse.Namespace], int]] = {
    "backup": _backup,
    "restore": _restore,
    "salvage": _salvage,
}
"""The commands that do not ask for an open journal, by their word."""
