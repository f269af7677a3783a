"""What can be in the way of storing and reading, and what is to be told of the storage, each a type of its own.

The sentences are in `mixstation/wording/storage_lines.py`.
"""

from typing import Literal

from mixstation.coded import Coded, PlainCode
from mixstation.frozen import Frozen
from mixstation.record.chain import ChainFault

PathCode = Literal[
    "folder-unusable",
    "not-a-journal",
    "file-damaged",
    "exchange-unfinished",
    "written-later",
    "not-a-backup",
    "backup-there",
    "backup-damaged",
    "backup-onto-journal",
    "file-replaced",
    "disk-full",
    "read-only",
    "not-permitted",
    "not-ordinary",
    "busy",
    "durability-refused",
    "storage-failed",
]
Notice = Literal[
    "exchange-unreadable",  # what broke off is kept
    "network-folder",
    "disk-nearly-full",  # no room for the reserve
    "reserve-spent",  # the disk was full and the reserve was given up: room for some 300 events
    "folder-read-only",
    "reading-a-copy",
    "newer-schema",
    "witness-begun",  # there was none yet
    "witness-gone",  # there was one
    "witness-altered",
    "witness-later",  # left alone
    "witness-behind",  # it could not be written
    "entries-gone",  # the journal holds less than the witness says, or something else
]
"""What the person should be told about the storage."""


class AtPath(Frozen):
    """Trouble with a file or a folder.

    Attributes:
        detail: What the system says of it; "" for nothing.
    """

    code: PathCode
    path: str
    detail: str = ""


class OutOfOrder(Frozen):
    """An entry bears a number beyond the one that comes next, or one that another entry has."""

    code: Literal["gap", "seq-taken"]
    batch_id: str
    expected_seq: int
    found_seq: int


class InUse(Coded, code="in-use"):
    """Another mixstation holds the records; its process, or None where it does not say."""

    pid: int | None


class Damaged(Coded, code="damaged"):
    """A batch is not what was stored."""

    batch_id: str
    faults: tuple[ChainFault, ...]


class JournalGone(Coded, code="journal-gone"):
    """There was a journal.

    Attributes:
        traces: What shows it, with how many there are.
    """

    path: str
    traces: tuple[tuple[str, int], ...]


class SqliteTooOld(Coded, code="sqlite-too-old"):
    """The version of SQLite that Python brings is too old."""

    found: str
    expected: str


class Plain(PlainCode):
    """Trouble that needs no words more."""

    NO_JOURNAL = "no-journal"
    CLOSED = "closed"
    NOT_TEXT = "not-text"


StorageTrouble = Plain | AtPath | OutOfOrder | InUse | Damaged | JournalGone | SqliteTooOld
