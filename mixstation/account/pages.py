"""Written records against journal and witness: edited, removed, or of something the journal does not hold."""

import json
from collections.abc import Callable, Iterator, Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any

from mixstation.frozen import Frozen
from mixstation.record.witness import Claim
from mixstation.units.show import DisplayUnits
from mixstation.wording.proof_lines import PageCode
from mixstation.wording.record_page import PROOF

ENDINGS = (".md", ".json")
_LONGEST_BYTES = 16 << 20
_MOST_DIGITS = 18
_WHOLE_HEAD_COUNTS = {".md": 16, ".json": 64}
"""Signs of the head as each kind of file prints it."""


class PageFault(Frozen):
    """What is wrong with one file of the written records.

    Attributes:
        code: "page-unproven" is no fault: nothing was kept that the file could be held against.
        name: The file's name.
        batch_id: The batch; "" where the journal has none of that name.
    """

    code: PageCode
    name: str
    batch_id: str


def page_faults(
    records: Path,
    files: Mapping[str, str],
    batch_ids: Mapping[str, str],
    texts_of: Callable[[str, DisplayUnits], Mapping[str, str]],
    bears_out: Callable[[Claim], bool],
) -> Iterator[PageFault]:
    """Go through the written records.

    Args:
        records: Their folder; it need not be there.
        files: SHA-256 of each as it was written, by its file's name.
        batch_ids: Batches of the journal by the stem of their files.
        texts_of: What would be written of a batch now, by ending.
        bears_out: Whether the journal holds a count and head.

    Raises:
        OSError: One could not be read.
    """
    there = sorted(path for path in records.glob("batch-*") if path.suffix in ENDINGS and path.is_file())
    for name in sorted(set(files) - {path.name for path in there}):
        yield PageFault(code="page-gone", name=name, batch_id=batch_ids.get(Path(name).stem, ""))
    for path in there:
        batch_id = batch_ids.get(path.stem, "")
        code = _code_of(path, files.get(path.name), batch_id, texts_of, bears_out)
        if code is not None:
            yield PageFault(code=code, name=path.name, batch_id=batch_id)


def _code_of(
    path: Path,
    noted: str | None,
    batch_id: str,
    texts_of: Callable[[str, DisplayUnits], Mapping[str, str]],
    bears_out: Callable[[Claim], bool],
) -> PageCode | None:
    if not batch_id:
        return "page-of-no-batch"
    with path.open("rb") as file:
        content = file.read(_LONGEST_BYTES)
    as_noted = sha256(content).hexdigest() == noted
    if not as_noted and not any(
        content == texts_of(batch_id, units).get(path.suffix, "").encode() for units in DisplayUnits
    ):
        # Written by an earlier program, its words may differ: only its own count and head can be held against it.
        claim = _claim_of(path.suffix, content.decode("utf-8", "replace"), batch_id)
        if noted is not None or (claim is not None and not bears_out(claim)):
            return "page-edited"
        return "page-unproven"
    claim = _claim_of(path.suffix, content.decode("utf-8", "replace"), batch_id)
    return "page-not-borne-out" if claim is not None and not bears_out(claim) else None


def _claim_of(ending: str, text: str, batch_id: str) -> Claim | None:
    """The count and head that are printed on a record; None where there are none.

    A count or head such as is never printed is given as 0 entries, which no journal bears out.
    """
    entry_count, head = _printed(ending, text) or (None, "")
    if entry_count is None:
        return None
    is_possible = 0 < entry_count < 10**_MOST_DIGITS and len(head) == _WHOLE_HEAD_COUNTS[ending]
    return Claim(batch_id=batch_id, entry_count=entry_count if is_possible else 0, head=head)


def _printed(ending: str, text: str) -> tuple[int, str] | None:
    if ending == ".md":
        said = next((line for line in reversed(text.splitlines()) if line.startswith(PROOF)), "")
        count, _, rest = said.removeprefix(PROOF).partition(" ")
        head = "".join(rest.partition(", ")[2].split())
        if not count.isdecimal():
            return None
        return (int(count) if len(count) <= _MOST_DIGITS else 0), head
    try:
        told: Any = json.loads(text)
    except (ValueError, RecursionError):
        return None
    match told:
        case {"proof": {"entries": int(entries), "chain": str(head)}}:
            return entries, head
    return None
