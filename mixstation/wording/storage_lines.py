"""Sentences for what can go wrong with the records: storage, stored entries, and what the person should be told."""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, assert_never

from mixstation.record import trouble as why
from mixstation.record.trouble import Notice, PathCode, Plain
from mixstation.wording.proof_lines import traces_said
from mixstation.wording.spoken import Plainly, spoken

if TYPE_CHECKING:
    from mixstation.batch.run import FoldCode, FoldError
    from mixstation.record.chain import ChainCode, ChainFault
    from mixstation.record.errors import StorageError
    from mixstation.record.stored_form import CodecCode, CodecError

_ASK_AUDIT = "See what is wrong: mixstation records audit. Then go on: mixstation records salvage"
_SALVAGE = (
    "Go on with every whole batch in a fresh journal, and nothing is deleted: mixstation records salvage"
)

_TROUBLES: Mapping[str, str] = MappingProxyType(
    {
        "disk-full": "the disk is full",
        "read-only": "nothing can be written there",
        "not-permitted": "writing there is not permitted",
        "busy": "another program uses the records",
        "file-damaged": "the file of records is damaged",
        "not-a-journal": "the file of records is none of ours",
        "file-replaced": "the file of records is gone or another",
        "durability-refused": "the disk does not keep what it says it has",
        "gap": "the records miss an entry",
        "seq-taken": "the records hold another entry there",
        "damaged": "the records are not as they were stored",
        "in-use": "another mixstation uses the records",
        "not-text": "an entry holds signs that cannot be stored",
        "folder-unusable": "the folder cannot be used",
        "closed": "the records were closed",
    }
)
"""The same in a few words, for the banner; all else is "the storage failed"."""


def storage_line(error: "StorageError") -> str:
    """The sentence for what keeps the records from being stored or read."""
    trouble = error.why
    match trouble:
        case Plain():
            return _plain(trouble)
        case why.Damaged():
            found = " ".join(chain_line(fault) for fault in trouble.faults[:5])
            return f"The record is not what was stored, so it is not used. {found} {_ASK_AUDIT}"
        case why.AtPath():
            detail = trouble.detail or "no reason given"
            return spoken(_at_path(trouble.code), replace(trouble, detail=detail), Plainly())
        case why.JournalGone():
            template = (
                "The journal is gone or empty: {path}. There was one: {shown}. Put back a backup: mixstation records "
                "restore FROM. Without a backup, begin a fresh journal: mixstation records salvage"
            )
            return spoken(template, trouble, Plainly(), shown=traces_said(trouble.traces))
        case why.OutOfOrder() | why.InUse() | why.SqliteTooOld():
            return spoken(_template(trouble), trouble, Plainly())
        case _ as forgotten:
            assert_never(forgotten)


def _template(trouble: why.OutOfOrder | why.InUse | why.SqliteTooOld) -> str:
    match trouble:
        case why.InUse():
            who = f"Another mixstation (process {trouble.pid})" if trouble.pid else "Another mixstation"
            return who + " is using these records. Go on there, or close it and try again."
        case why.SqliteTooOld():
            return "SQLite {found} is too old; it must be {expected} or later. Use a later Python."
        case why.OutOfOrder(code="gap"):
            return (
                "An entry was to be stored as number {found_seq}, but number {expected_seq} comes next in batch "
                "{batch_id}. " + _ASK_AUDIT
            )
        case why.OutOfOrder():
            return "Batch {batch_id} has another entry number {found_seq} already. " + _ASK_AUDIT
        case _ as forgotten:
            assert_never(forgotten)


def _plain(trouble: Plain) -> str:
    match trouble:
        case Plain.NO_JOURNAL:
            return "No batch has been recorded yet. Start one with: mixstation mix RECIPE --powder MASS"
        case Plain.CLOSED:
            return "The records were closed already. Start again."
        case Plain.NOT_TEXT:
            return "An entry holds signs that cannot be stored. It was not stored."
        case _ as forgotten:
            assert_never(forgotten)


def _at_path(code: PathCode) -> str:
    match code:
        case "folder-unusable":
            return (
                "The folder {path} cannot be used: {detail}. Make it usable, or name another in the variable "
                "MIXSTATION_HOME."
            )
        case "not-a-journal":
            return "What lies where the records should be is no journal of ours: {path}. " + _SALVAGE
        case "file-damaged":
            return "The file of records is damaged: {path}. " + _SALVAGE
        case "exchange-unfinished":
            return "A restore or salvage was cut off half way: {path}. Finish it: mixstation records salvage"
        case "written-later":
            return "The journal was written by a later version of the program: {path}. Use that one."
        case "not-a-backup":
            return "This is no backup of ours: {path}. Name the folder that holds list.json."
        case "backup-there":
            return "Something has that name already: {path}. Give the backup another name."
        case "backup-damaged":
            return "The backup is damaged: {path}. Nothing was changed. Use another backup."
        case "backup-onto-journal":
            return "A copy cannot go over the records themselves: {path}. Give it another name."
        case "file-replaced":
            return "The file of records was removed or replaced while in use: {path}. Put it back, then start again."
        case "disk-full":
            return "The disk is full: {path}. Make room on it, then go on."
        case "read-only":
            return (
                "Here nothing can be written: {path}. Take the write protection off, or name another folder in the "
                "variable MIXSTATION_HOME."
            )
        case "not-permitted":
            return (
                "You may not write here: {path}. Change its permissions, or name another folder in the variable "
                "MIXSTATION_HOME."
            )
        case "not-ordinary":
            return "That is no ordinary file but a folder, a pipe or a device: {path}. Name another."
        case "busy":
            return "The file of records is in use by another program: {path}. Wait a moment, then try again."
        case "durability-refused":
            return (
                "The disk does not keep what was saved through a power cut: {path}. Name a folder on a disk of this "
                "computer in the variable MIXSTATION_HOME."
            )
        case "storage-failed":
            return "The storage failed: {path} ({detail}). See that the disk is there and sound."
        case _ as forgotten:
            assert_never(forgotten)


def trouble_words(code: str) -> str:
    """What keeps entries from being stored, in a few words."""
    return _TROUBLES.get(code, "the storage failed")


def chain_line(fault: "ChainFault") -> str:
    """The sentence for a place where stored entries are not what was stored."""
    return spoken(_chain(fault.code), fault, Plainly())


def _chain(code: "ChainCode") -> str:
    match code:
        case "changed":
            return "Batch {batch_id}, entry {seq}: not as it was stored."
        case "missing":
            return "Batch {batch_id}: entries are missing before entry {seq}."
        case "unreadable":
            return "Batch {batch_id}: cannot be read."
        case "file-damaged":
            return "The file of records is damaged in its structure."
        case _ as forgotten:
            assert_never(forgotten)


def codec_line(error: "CodecError") -> str:
    """The sentence for stored text that is none of ours."""
    return _codec(error.code).format(detail=error.detail)


def _codec(code: "CodecCode") -> str:
    match code:
        case "newer-form":
            return "This batch was recorded by a later version of the program. Use that one."
        case "not-an-entry":
            return "What is stored is no entry of ours ({detail}). " + _ASK_AUDIT
        case "not-canonical":
            return "What is stored is not as the program writes it ({detail}). " + _ASK_AUDIT
        case _ as forgotten:
            assert_never(forgotten)


def fold_line(error: "FoldError") -> str:
    """The sentence for stored entries that cannot be a batch."""
    return _fold(error.code).format(seq=error.seq)


def _fold(code: "FoldCode") -> str:
    match code:
        case "no-start":
            return "The stored batch does not begin with its start, so it cannot be taken up. " + _ASK_AUDIT
        case "started-twice":
            return (
                "Entry {seq} starts the stored batch a second time, so it cannot be taken up. " + _ASK_AUDIT
            )
        case "gap":
            return (
                "Entries of the stored batch are missing before entry {seq}, so it cannot be taken up. "
                + _ASK_AUDIT
            )
        case "unknown-material":
            return "Entry {seq} names a material the batch's recipe does not have. " + _ASK_AUDIT
        case "unknown-step":
            return "Entry {seq} names a step the batch's recipe does not have. " + _ASK_AUDIT
        case "not-a-mass":
            return "Entry {seq} holds a mass that no bucket can. " + _ASK_AUDIT
        case "unfit-recipe":
            return "The stored recipe cannot be reckoned with, so the batch cannot be taken up. " + _ASK_AUDIT
        case "unfit-aim":
            return (
                "What the stored batch steers to cannot be reckoned with, so it cannot be taken up. "
                + _ASK_AUDIT
            )
        case _ as forgotten:
            assert_never(forgotten)


def notice_line(notice: Notice) -> str:
    """What the person should be told about the storage; see `Journal.notices`."""
    match notice:
        case "exchange-unreadable":
            return (
                "A restore or salvage was cut off, and its plan cannot be read. What it had made ready is kept in the"
                " folder set-aside. " + _ASK_AUDIT
            )
        case "network-folder":
            return (
                "The records lie on a network share, where a power cut may cost entries. Name a folder on this "
                "computer in the variable MIXSTATION_HOME."
            )
        case "disk-nearly-full":
            return "The disk is nearly full. Make room before the next batch."
        case "reserve-spent":
            return "The disk is full and the reserve is in use: room for some 300 entries. Make room now."
        case "folder-read-only":
            return "The folder of records may not be written: they can only be read."
        case "reading-a-copy":
            return (
                "The program was cut off while it wrote: a copy of the records is read, without the entry that was "
                "not finished."
            )
        case "witness-begun":
            return "A witness of the records begins now: from here on the audit sees what is removed."
        case "witness-gone":
            return (
                "The witness of the records is gone, and begins again. If you did not remove it: mixstation records "
                "audit"
            )
        case "witness-altered":
            return "The witness of the records was changed or damaged. " + _ASK_AUDIT
        case "witness-later":
            return (
                "The witness of the records was written by a later version of the program. Use that one: this one "
                "cannot see what was removed."
            )
        case "witness-behind":
            return "The witness of the records could not be written. Entries are saved. Look at the disk."
        case "entries-gone":
            return "ENTRIES ARE MISSING from the records, or altered. " + _ASK_AUDIT
        case "newer-schema":
            return "The records were written by a later version of the program: they can only be read."
        case _ as forgotten:
            assert_never(forgotten)
