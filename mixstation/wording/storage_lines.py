"""Sentences for what can go wrong with the records: storage, stored entries, and what the person should be told."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from mixstation.units.clean import clean
from mixstation.wording.proof_lines import traces_said

_ASK_AUDIT = "See what is wrong: mixstation records audit. Then go on: mixstation records salvage"
_SALVAGE = (
    "Go on with every whole batch in a fresh journal, and nothing is deleted: mixstation records salvage"
)

STORAGE: Mapping[str, str] = MappingProxyType(
    {
        "folder-unusable": "The folder {path} cannot be used: {detail}. "
        "Make it usable, or name another in the variable MIXSTATION_HOME.",
        "no-journal": "No batch has been recorded yet. Start one with: mixstation mix RECIPE --powder MASS",
        "not-a-journal": "What lies where the records should be is no journal of ours: {path}. " + _SALVAGE,
        "file-damaged": "The file of records is damaged: {path}. " + _SALVAGE,
        "journal-gone": "The journal is gone or empty: {path}. There was one: {traces}. "
        "Put back a backup: mixstation records restore FROM. "
        "Without a backup, begin a fresh journal: mixstation records salvage",
        "exchange-unfinished": "A restore or salvage was cut off half way: {path}. "
        "Finish it: mixstation records salvage",
        "written-later": "The journal was written by a later version of the program: {path}. Use that one.",
        "not-a-backup": "This is no backup of ours: {path}. Name the folder that holds list.json.",
        "backup-there": "Something has that name already: {path}. Give the backup another name.",
        "backup-damaged": "The backup is damaged: {path}. Nothing was changed. Use another backup.",
        "file-replaced": "The file of records was removed or replaced while in use: {path}. "
        "Put it back, then start again.",
        "disk-full": "The disk is full: {path}. Make room on it, then go on.",
        "read-only": "Here nothing can be written: {path}. Take the write protection off, or name another folder in "
        "the variable MIXSTATION_HOME.",
        "not-permitted": "You may not write here: {path}. Change its permissions, or name another folder in the "
        "variable MIXSTATION_HOME.",
        "not-ordinary": "That is no ordinary file but a folder, a pipe or a device: {path}. Name another.",
        "busy": "The file of records is in use by another program: {path}. Wait a moment, then try again.",
        "sqlite-too-old": "SQLite {found} is too old; it must be {expected} or later. Use a later Python.",
        "durability-refused": "The disk does not keep what was saved through a power cut: {path}. "
        "Name a folder on a disk of this computer in the variable MIXSTATION_HOME.",
        "storage-failed": "The storage failed: {path} ({detail}). See that the disk is there and sound.",
        "closed": "The records were closed already. Start again.",
        "not-text": "An entry holds signs that cannot be stored. It was not stored.",
        "gap": "An entry was to be stored as number {found_seq}, but number {expected_seq} comes next in batch "
        "{batch_id}. " + _ASK_AUDIT,
        "seq-taken": "Batch {batch_id} has another entry number {found_seq} already. " + _ASK_AUDIT,
        "backup-onto-journal": "A copy cannot go over the records themselves: {path}. Give it another name.",
    }
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
        "newer-schema": "the records are of a later version",
        "in-use": "another mixstation uses the records",
        "not-text": "an entry holds signs that cannot be stored",
        "folder-unusable": "the folder cannot be used",
        "closed": "the records were closed",
    }
)
"""The same in a few words, for the banner; all else is "the storage failed"."""

CHAIN: Mapping[str, str] = MappingProxyType(
    {
        "changed": "Batch {batch_id}, entry {seq}: not as it was stored.",
        "missing": "Batch {batch_id}: entries are missing before entry {seq}.",
        "unreadable": "Batch {batch_id}: cannot be read.",
        "file-damaged": "The file of records is damaged in its structure.",
    }
)

CODEC: Mapping[str, str] = MappingProxyType(
    {
        "newer-form": "This batch was recorded by a later version of the program. Use that one.",
        "not-an-entry": "What is stored is no entry of ours ({detail}). " + _ASK_AUDIT,
        "not-canonical": "What is stored is not as the program writes it ({detail}). " + _ASK_AUDIT,
    }
)

FOLD: Mapping[str, str] = MappingProxyType(
    {
        "no-start": "The stored batch does not begin with its start, so it cannot be taken up. " + _ASK_AUDIT,
        "started-twice": "Entry {seq} starts the stored batch a second time, so it cannot be taken up. "
        + _ASK_AUDIT,
        "gap": "Entries of the stored batch are missing before entry {seq}, so it cannot be taken up. "
        + _ASK_AUDIT,
        "unknown-material": "Entry {seq} names a material the batch's recipe does not have. " + _ASK_AUDIT,
        "unknown-step": "Entry {seq} names a step the batch's recipe does not have. " + _ASK_AUDIT,
        "not-a-mass": "Entry {seq} holds a mass that no bucket can. " + _ASK_AUDIT,
        "unfit-recipe": "The stored recipe cannot be reckoned with, so the batch cannot be taken up. "
        + _ASK_AUDIT,
        "unfit-aim": "What the stored batch steers to cannot be reckoned with, so it cannot be taken up. "
        + _ASK_AUDIT,
    }
)

NOTICES: Mapping[str, str] = MappingProxyType(
    {
        "exchange-unreadable": "A restore or salvage was cut off, and its plan cannot be read. What it had made ready "
        "is kept in the folder set-aside. " + _ASK_AUDIT,
        "network-folder": "The records lie on a network share, where a power cut may cost entries. "
        "Name a folder on this computer in the variable MIXSTATION_HOME.",
        "disk-nearly-full": "The disk is nearly full. Make room before the next batch.",
        "reserve-spent": "The disk is full and the reserve is in use: room for some 300 entries. Make room now.",
        "folder-read-only": "The folder of records may not be written: they can only be read.",
        "reading-a-copy": "The program was cut off while it wrote: a copy of the records is read, without the entry "
        "that was not finished.",
        "witness-begun": "A witness of the records begins now: from here on the audit sees what is removed.",
        "witness-gone": "The witness of the records is gone, and begins again. If you did not remove it: "
        "mixstation records audit",
        "witness-altered": "The witness of the records was changed or damaged. " + _ASK_AUDIT,
        "witness-later": "The witness of the records was written by a later version of the program. Use that one: "
        "this one cannot see what was removed.",
        "witness-behind": "The witness of the records could not be written. Entries are saved. Look at the disk.",
        "entries-gone": "ENTRIES ARE MISSING from the records, or altered. " + _ASK_AUDIT,
        "newer-schema": "The records were written by a later version of the program: they can only be read.",
    }
)


def storage_line(error: Any) -> str:
    """The sentence for a `StorageError` or `JournalError`.

    Raises:
        KeyError: A code without a sentence.
    """
    values = {"path": "the records", "detail": "no reason given", "batch_id": "?", **error.values}
    match error.code:
        case "in-use":
            pid = values.get("pid")
            who = f"Another mixstation (process {pid})" if pid else "Another mixstation"
            return f"{who} is using these records. Go on there, or close it and try again."
        case "damaged":
            found = " ".join(chain_line(fault) for fault in values["faults"][:5])
            return f"The record is not what was stored, so it is not used. {found} {_ASK_AUDIT}"
        case _:
            values["traces"] = traces_said(values.get("traces", ()))
            shown = {name: clean(str(value), 300) for name, value in values.items()}
            return STORAGE[error.code].format(**shown)


def trouble_words(code: str) -> str:
    """What keeps entries from being stored, in a few words."""
    return _TROUBLES.get(code, "the storage failed")


def chain_line(fault: Any) -> str:
    """The sentence for a `ChainFault`."""
    return CHAIN[fault.code].format(batch_id=clean(fault.batch_id, 100), seq=fault.seq)


def codec_line(error: Any) -> str:
    """The sentence for a `CodecError`."""
    return CODEC[error.code].format(detail=clean(error.detail, 200))


def fold_line(error: Any) -> str:
    """The sentence for a `FoldError`."""
    return FOLD[error.code].format(seq=error.seq)


def notice_line(code: str) -> str:
    """What the person should be told about the storage; see `Journal.notices`.

    Raises:
        KeyError: A code without a sentence.
    """
    return NOTICES[code]
