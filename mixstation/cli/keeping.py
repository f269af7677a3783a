"""`mixstation records audit, backup, restore, salvage`: that the records are whole, and stay so."""

import argparse
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from mixstation import __version__
from mixstation.account.pages import PageFault, page_faults
from mixstation.batch.run import FoldError
from mixstation.cli.records import record_texts, told_journal
from mixstation.folders import home_config
from mixstation.record import proof, queries
from mixstation.record.backup import back_up, restore
from mixstation.record.codec import CodecError
from mixstation.record.exchange import ASIDE_NAME
from mixstation.record.journal import Journal
from mixstation.record.paths import data_folder, file_stem_for
from mixstation.record.salvage import salvage
from mixstation.record.witness import Claim, read_witness
from mixstation.units.clean import clean
from mixstation.units.show import DisplayUnits
from mixstation.wording import proof_lines as words
from mixstation.wording.storage_lines import chain_line


def _audit(_given: argparse.Namespace) -> int:
    """Compare journal, witness, numbers of batches and written records, and say what that proves."""
    with told_journal() as journal:
        faults, said = _audited(journal)
    print("\n".join(said))
    return 1 if faults else 0


def _audited(journal: Journal) -> tuple[list[str], list[str]]:
    """What is wrong, and all there is to say."""
    folder = data_folder()
    # The witness first: a batch that runs meanwhile only puts the journal further ahead of it.
    witness = read_witness(folder)
    damage = journal.audit()
    faults = [chain_line(fault) for fault in damage]
    if witness.standing == "altered":
        faults.append(words.WITNESS_ALTERED)
    if witness.found_altered:
        faults.append(words.WITNESS_WAS_ALTERED.format(when=clean(witness.found_altered, 40)))
    if witness.standing == "later":
        faults.append(words.WITNESS_LATER)
    if witness.standing == "none" and proof.proof_was_printed(folder):
        faults.append(words.WITNESS_GONE)
    notes: list[str] = []
    if not damage:
        differing = journal.ask(lambda connection: proof.all_differences(connection, witness.claims))
        faults += map(words.difference_line, differing)
        faults += [words.WAY_ON] if faults and witness.standing != "later" else []
        for fault in _page_faults(journal, folder / proof.RECORDS_NAME, witness.files):
            line = words.page_line(fault, str(folder / proof.RECORDS_NAME))
            (notes if fault.code == "page-unproven" else faults).append(line)
    else:
        faults.append(words.WAY_ON)
    notes += (words.SET_ASIDE.format(path=aside) for aside in sorted((folder / ASIDE_NAME).glob("*")))
    said = faults or [words.audited(journal.ask(proof.state_of), witness.begun)]
    return faults, [*said, *notes]


def _page_faults(journal: Journal, records: Path, files: Mapping[str, str]) -> Iterator[PageFault]:

    heads = {each.batch_id: each for each in journal.ask(queries.heads)}

    def texts_of(batch_id: str, units: DisplayUnits) -> Mapping[str, str]:
        try:
            return record_texts(journal, batch_id, units)
        except (CodecError, FoldError):
            return {}  # of a later program, or none of ours: nothing to compare with

    def bears_out(claim: Claim) -> bool:
        there = heads.get(claim.batch_id)
        return journal.ask(lambda connection: proof.difference(connection, claim, there)) is None

    stems = {file_stem_for(batch_id): batch_id for batch_id in heads}
    return page_faults(records, files, stems, texts_of, bears_out)


def _backup(given: argparse.Namespace) -> int:
    made = back_up(data_folder(), home_config(), given.folder, __version__)
    # What is missing from the journal is missing from its backup too, and is told with it.
    with told_journal():
        print(words.BACKED_UP.format(folder=made.folder, state=words.state_said(made.state)))
    return 0


def _restore(given: argparse.Namespace) -> int:
    backup, aside = restore(given.folder, data_folder(), home_config())
    print(words.RESTORED.format(made=backup.made, state=words.state_said(backup.state), aside=aside))
    return 0


def _salvage(_given: argparse.Namespace) -> int:
    done = salvage(data_folder())
    if done.outcome == "salvaged":
        for found in done.found:
            print(words.found_line(found))
    print(words.salvaged_line(done))
    return 0


KEEPING: Mapping[str, Callable[[argparse.Namespace], int]] = {
    "audit": _audit,
    "backup": _backup,
    "restore": _restore,
    "salvage": _salvage,
}
"""The commands by their word."""
