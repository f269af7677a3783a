"""Entries of a batch as stored text and back.

Stored kinds are the words in `batch.events`, never class paths.
"""

import json
from typing import Final

from mixstation.batch.events import Entry, Fact, Stamp
from mixstation.frozen import Frozen
from mixstation.record.stored import EventStore, NewEvent
from mixstation.record.stored_form import CodecError as CodecError
from mixstation.record.stored_form import StoredForm, Upgrade

FORM: Final = 3
"""Form 1 stored each fact by itself, and no `weighed_apart` where there was none; form 2 no vessels, no settings."""
_FIRST_WHOLE_FORM: Final = 2
UPGRADES: Final[dict[int, Upgrade]] = {}


class StoredBody(Frozen):
    """The body of one stored entry: form of the store, stamp, fact."""

    form: int
    stamp: Stamp
    fact: Fact


_BODIES: Final[StoredForm[StoredBody]] = StoredForm(StoredBody, FORM, UPGRADES)


def written(entry: Entry) -> str:
    """The body to store for an entry; what could not be read back is refused here.

    Raises:
        ValueError: A number in it is not finite, a text holds half a surrogate pair, or a value is not of its type.
    """
    return _BODIES.written(StoredBody(form=FORM, stamp=entry.stamp, fact=entry.fact))


def new_event(entry: Entry) -> NewEvent:
    """An entry as a journal takes it.

    Raises:
        ValueError: As for `written`.
    """
    return NewEvent(seq=entry.seq, kind=entry.fact.kind, body=written(entry))


def read(seq: int, body: str) -> Entry:
    """The entry a stored body holds, of an earlier program too; equal to the one that was written.

    Raises:
        CodecError: It is no entry of ours, or of a later form.
    """
    stored = _BODIES.read(body)
    return Entry(seq=seq, stamp=stored.stamp, fact=stored.fact)


def stored_entries(store: EventStore, batch_id: str) -> tuple[Entry, ...]:
    """All entries of a stored batch.

    Raises:
        JournalError: They could not be read.
        CodecError: They were stored by a later program, or are damaged.
    """
    return tuple(read(event.seq, event.body) for event in store.events(batch_id))


def stored_whole(body: str) -> bool:
    """Whether a stored body was stored together with all others of its decision."""
    form: int = json.loads(body)["form"]
    return form >= _FIRST_WHOLE_FORM
