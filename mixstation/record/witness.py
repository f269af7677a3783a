"""The witness: a file beside the journal that says how many entries each batch had, and the chain's head there.

A chain inside one file proves order, not completeness. The journal is durable before the witness is written, so after
any crash or power cut the journal holds at least what the witness says; a journal that holds less, or something else,
lost it in another way. The witness begins with a part written whole, which carries its own sum; a line is added for
each commit after that. Those lines are flushed only on closing: one torn by a power cut is passed over, for a witness
that lags behind is caught up at the next opening.
"""

import json
import os
from collections.abc import Iterable, Mapping
from dataclasses import field
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from typing import Any, Literal

from mixstation.frozen import Frozen
from mixstation.record.paths import flush_file, replacing

FILE_NAME = "journal.witness"
_FORM = 1
_CHECK_COUNT = 8
_LARGEST = 2**63 - 1
"""SQLite holds no higher number."""


class Claim(Frozen):
    """What a batch had at a moment.

    Attributes:
        head: Hexadecimal hash of the newest of them.
        number: What it was filed under in the journal; None where that was not noted.
    """

    batch_id: str
    entry_count: int
    head: str
    number: int | None = None


class Witness(Frozen):
    """All that the witness says.

    Attributes:
        standing: "none" (there is no witness), "whole", "altered" (what was written whole is not as it was), or
            "later" (a later program wrote it: nothing it says is known, and it is left alone).
        found_altered: When it was found altered or gone, UTC in ISO form, and written anew; "" where it never was. It
            stays until salvage, or until a backup without it is put back.
        begun: When it was begun, UTC in ISO form; "" where that is not known.
        files: SHA-256 of each written record, by its file's name.
        added_count: Lines added since it was written whole, torn ones among them.
    """

    standing: Literal["none", "whole", "altered", "later"] = "none"
    begun: str = ""
    found_altered: str = ""
    claims: tuple[Claim, ...] = ()
    files: Mapping[str, str] = field(default_factory=dict)
    added_count: int = 0


def read_witness(folder: Path) -> Witness:
    """What the witness in a folder says.

    Raises:
        OSError: It could not be read.
    """
    try:
        lines = (folder / FILE_NAME).read_bytes().splitlines(keepends=True)
    except FileNotFoundError:
        return Witness()
    head = _told(lines[0]) if lines else None
    match head:
        case {"witness": int(form)} if form > _FORM:
            return Witness(standing="later")
        case {"witness": int(), "begun": str(begun), "lines": int(count), "sum": str(total), **others}:
            found_altered = str(others.get("altered", ""))
            whole = lines[1 : 1 + count]
            sound = len(whole) == count and sha256(b"".join(whole)).hexdigest() == total
        case _:
            begun, found_altered, sound, whole, count = "", "", False, [], 0
    all_told = _at_once(whole) if sound else None
    claims, files = _claims(all_told or ())
    # A sum can be worked out over anything: only lines such as are written are sound.
    sound = all_told is not None and len(claims) + len(files) == count
    if not sound:
        # Of one that is not as it was written, whatever line still proves itself may tell of something removed.
        claims, files = _claims(map(_told, lines))
    added = lines[1 + count :] if sound else []
    added_claims, added_files = _claims(map(_told, added))
    newest = {claim.batch_id: claim for claim in added_claims}
    return Witness(
        standing="whole" if sound else "altered",
        begun=begun,
        found_altered=found_altered,
        claims=(*claims, *newest.values()),
        files=files | added_files,
        added_count=len(added),
    )


def write_witness(folder: Path, witness: Witness) -> None:
    """Write the witness whole, durable once this returns.

    Args:
        witness: What it is to say; begun now where `begun` is "", marked as found altered where it stands so.

    Raises:
        OSError: It was not written; the old one is then as it was.
    """
    body = b"".join(
        (
            *(_claim_line(claim) for claim in witness.claims),
            *(_line({"file": name, "sha256": total}) for name, total in sorted(witness.files.items())),
        )
    )
    now = f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%SZ}"
    found_altered = witness.found_altered or (now if witness.standing == "altered" else "")
    head = {
        "witness": _FORM,
        "begun": witness.begun or now,
        **({"altered": found_altered} if found_altered else {}),
        "lines": body.count(b"\n"),
        "sum": sha256(body).hexdigest(),
    }
    with replacing(folder / FILE_NAME) as (descriptor, _), os.fdopen(descriptor, "wb", closefd=False) as file:
        file.write(_line(head) + body)


def add_claim(folder: Path, claim: Claim) -> bool:
    """Say of a batch what it has now, not waiting for the disk; whether it was written: else an opening catches up."""
    return _add(folder, _claim_line(claim))


def add_file(folder: Path, name: str, content: bytes) -> bool:
    """Say what a written record holds: as `add_claim`, but nothing catches up with it."""
    try:
        if read_witness(folder).standing == "later":
            return False
    except OSError:
        return False
    return _add(folder, _line({"file": name, "sha256": sha256(content).hexdigest()}))


def flush_witness(folder: Path) -> bool:
    """Put the lines added onto the disk itself; whether that could be done."""
    try:
        descriptor = os.open(folder / FILE_NAME, os.O_RDONLY | os.O_NOFOLLOW)
        try:
            flush_file(descriptor)
        finally:
            os.close(descriptor)
    except OSError:
        return False
    return True


def _add(folder: Path, line: bytes) -> bool:
    try:
        descriptor = os.open(folder / FILE_NAME, os.O_WRONLY | os.O_APPEND | os.O_NOFOLLOW | os.O_CLOEXEC)
        try:
            if os.write(descriptor, line) == len(line):
                return True
            # A line torn by a full disk must not swallow the next: each begins on a line of its own.
            os.write(descriptor, b"\n")
        finally:
            os.close(descriptor)
    except OSError:
        pass
    return False


def _claim_line(claim: Claim) -> bytes:
    return _line(
        {"id": claim.batch_id, "entries": claim.entry_count, "head": claim.head, "number": claim.number}
    )


def _line(value: object) -> bytes:
    text = json.dumps(value, separators=(",", ":")).encode()
    return text + b" " + _check(text) + b"\n"


def _check(text: bytes) -> bytes:
    return sha256(text).hexdigest()[:_CHECK_COUNT].encode()


def _told(line: bytes) -> Any:
    """What a line says; None for one that does not prove itself."""
    text, _, check = line.rstrip(b"\n").rpartition(b" ")
    if not line.endswith(b"\n") or check != _check(text):
        return None
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return None


def _at_once(lines: list[bytes]) -> list[Any] | None:
    """What lines say that are proven together, many times faster than one by one; None for what is no JSON."""
    try:
        told: list[Any] = json.loads(b"[%b]" % b",".join(line[: -_CHECK_COUNT - 2] for line in lines))
    except (ValueError, RecursionError):
        return None
    return told


def _claims(all_told: Iterable[Any]) -> tuple[list[Claim], dict[str, str]]:
    claims: list[Claim] = []
    files: dict[str, str] = {}
    for told in all_told:
        match told:
            case {
                "id": str(batch_id),
                "entries": int(count),
                "head": str(head),
                "number": int() | None as number,
            } if 0 < count <= _LARGEST and 0 < (number or 1) <= _LARGEST:
                claims.append(Claim(batch_id=batch_id, entry_count=count, head=head, number=number))
            case {"file": str(name), "sha256": str(total)}:
                files[name] = total
    return claims, files
