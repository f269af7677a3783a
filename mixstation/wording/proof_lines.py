"""Sentences about what proves the records: what the audit finds, backup, restore, salvage."""

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, Literal, assert_never

from mixstation.record.chain import short_head
from mixstation.units.clean import clean
from mixstation.wording.counted import counted

if TYPE_CHECKING:
    from mixstation.record.proof import Difference

_NOT_YOU = "If it was not you, put back a backup: mixstation records restore FROM"

LOOK_FIRST = "Entries of this batch are missing. Look into the bucket before you pour."
LOOK_HOW = (
    "The bucket may hold more than the list. Record it, or the screen asks for it again.",
    "Press Enter. Then press a (pad: * 2) for each material not listed, or * to discard the batch.",
    "Have a backup? Press Ctrl+C. Then type: mixstation records restore FROM",
)
LOOKED = "bucket checked: carry on"
LOOKED_NOTE = "{missing} The mixer checked the bucket and carried on."

PageCode = Literal["page-edited", "page-gone", "page-of-no-batch", "page-not-borne-out", "page-unproven"]

WAY_ON = (
    "Next: put back a backup, mixstation records restore FROM. Without one, begin a fresh journal with every whole "
    "batch, mixstation records salvage. Both move what is here aside and delete nothing."
)

_KNOWS_NOT = (
    "What this cannot know: whether someone who knows the program rewrote journal, witness and records together, and "
    "what was removed before the witness began ({begun}). A printed record, or a backup kept elsewhere, shows it."
)
_NO_WITNESS = (
    "There is no witness yet, so removed entries cannot be seen. It begins with the next batch: "
    "mixstation mix RECIPE --powder MASS"
)
WITNESS_GONE = (
    "The witness is gone though written records tell of it: removed entries cannot be seen now. "
    "It begins again with the next batch."
)
WITNESS_ALTERED = "The witness is not as it was written: someone changed it, or the disk failed."
WITNESS_WAS_ALTERED = (
    "The witness was found changed, damaged or gone, and written anew ({when}): "
    "what was removed before cannot be seen."
)
WITNESS_LATER = (
    "The witness was written by a later version of the program: removed entries cannot be seen with this one. "
    "Use that one: mixstation records audit"
)
SET_ASIDE = "Moved aside earlier, never deleted: {path}"

BACKED_UP = (
    "Backup made and read again: {folder}\n{state}. Keep a copy on another disk: mixstation records backup TO"
)
RESTORED = (
    "Restored the backup of {made}: {state}.\nWhat it replaced is in {aside}\nCheck: mixstation records audit"
)
_SALVAGE: Mapping[str, str] = {
    "salvaged": "A fresh journal has begun with {whole}.\nThe old one is in {aside}, with every readable entry of "
    "the other batches. Nothing was deleted.\nGo on: mixstation resume, or mixstation mix RECIPE --powder MASS",
    "finished": "A change that was cut off has been finished. Check it: mixstation records audit",
    "sound": "The journal is whole: {whole}. Nothing was changed.",
    "nothing": "No batch has been recorded yet. Start one with: mixstation mix RECIPE --powder MASS",
}

_FOUND_WHOLE = "Batch {batch_id}: {entries}, whole. Carried over."
_FOUND_PART = "Batch {batch_id}: {entries} of {known} read, not whole. Set aside."
_FOUND_ASK = " If its bucket stands before you: mixstation recover --help"

_TRACES: Mapping[str, tuple[str, str]] = {
    "batches": ("the witness knows 1 batch", "the witness knows {} batches"),
    "records": ("1 written record file", "{} written record files"),
    "links": ("1 batch left open", "{} batches left open"),
    "draws": ("1 batch that drew stock", "{} batches that drew stock"),
    "backups": ("1 backup", "{} backups"),
}


def entries_said(count: int) -> str:
    """So many entries."""
    return counted(count, "entry", "entries")


def state_said(state: Any) -> str:
    """The whole journal in a line: a `State`."""
    batches = counted(state.batch_count, "batch", "batches")
    return f"{batches}, {entries_said(state.entry_count)}, proof {short_head(state.head)}"


def audited(state: Any, begun: str) -> str:
    """What an audit without a fault proves, and what it cannot know.

    Args:
        state: A `State`.
        begun: When the witness began; "" without one.
    """
    known = _KNOWS_NOT.format(begun=clean(begun, 40)) if begun else _NO_WITNESS
    return f"{state_said(state)}: all as it was stored.\n{known}"


def difference_line(difference: "Difference") -> str:
    """The sentence for a difference between journal and witness."""
    expected, found = difference.expected, difference.found
    match difference.code:
        case "batch-gone":
            said = f"gone from the journal. The witness knows {entries_said(expected)} of it."
        case "entries-gone":
            said = (
                f"the journal has {entries_said(found)}, the witness knows {entries_said(expected)}. The newest were "
                "removed, the disk lost them, or an older copy was put back."
            )
        case "entries-altered":
            said = (
                f"not as the witness knows it up to entry {expected}: an entry was altered, or entries were lost and "
                "the batch went on."
            )
        case "renumbered":
            said = f"filed as number {found}, it was number {expected}. Batches were removed."
        case "number-gap":
            said = (
                f"filed as number {found}, but number {expected} comes next. A batch was removed before it."
            )
        case _ as forgotten:
            assert_never(forgotten)
    return f"Batch {clean(difference.batch_id, 100)}: {said}"


def page_line(fault: Any, folder: str) -> str:
    """The sentence for a `PageFault`.

    Args:
        fault: The fault.
        folder: Where written records lie.
    """
    again = f"mixstation records export {clean(fault.batch_id, 100)} {clean(folder, 300)}"
    code: PageCode = fault.code
    match code:
        case "page-edited":
            said = f"not as it was written. Keep it if you need it, then write it again: {again}"
        case "page-gone":
            said = "removed since it was written. " + (
                f"Write it again: {again}" if fault.batch_id else _NOT_YOU
            )
        case "page-of-no-batch":
            said = "its batch is not in the journal. " + _NOT_YOU
        case "page-not-borne-out":
            said = "the journal does not hold the count and head printed on it. " + _NOT_YOU
        case "page-unproven":
            said = "written by an earlier version, so it cannot be checked."
        case _ as forgotten:
            assert_never(forgotten)
    return f"{clean(fault.name, 120)}: {said}"


def found_line(found: Any) -> str:
    """The sentence for a batch that salvage `Found`."""
    batch_id = clean(found.batch_id, 100) or f"number {found.number}"
    if found.is_whole:
        return _FOUND_WHOLE.format(batch_id=batch_id, entries=entries_said(len(found.rows)))
    known = found.known.entry_count if found.known is not None else "an unknown number"
    return _FOUND_PART.format(batch_id=batch_id, entries=len(found.rows), known=known) + _FOUND_ASK


def salvaged_line(done: Any) -> str:
    """What salvage did: a `Salvaged`."""
    whole = [each for each in done.found if each.is_whole]
    entries = sum(len(each.rows) for each in whole)
    said = f"{counted(len(whole), 'batch', 'batches')}, {entries_said(entries)}"
    return _SALVAGE[done.outcome].format(whole=said, aside=done.aside)


def traces_said(traces: Iterable[tuple[str, int]]) -> str:
    """What shows that there was a journal: counts of `traces`."""
    return ", ".join(_TRACES[name][count != 1].format(count) for name, count in traces)
