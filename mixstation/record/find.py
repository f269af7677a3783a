"""Finding batches in a store: by a part of their id, and those that are still open."""

from mixstation.record.stored import EventStore
from mixstation.units.clean import clean

_ENDS = frozenset({"batch-finished", "batch-discarded"})
_SHOWN_COUNT = 5


class BatchNotFound(Exception):  # noqa: N818 - what was not found, in the words of the records
    """Not one batch was meant by what was asked for.

    Attributes:
        code: "batch-missing" or "batches-several".
        values: What the sentence needs, cleaned.
    """

    def __init__(self, code: str, **values: str) -> None:
        """Keep the code and its values."""
        super().__init__(code)
        self.code = code
        self.values = {name: clean(value, 300) for name, value in values.items()}


def find_batch(store: EventStore, asked: str) -> str:
    """The id of a batch.

    Args:
        store: Holds the batches.
        asked: Its id, or a part of it that no other has.

    Raises:
        BatchNotFound: No batch has it, or several have.
    """
    known = [row.batch_id for row in store.batches()]
    found = [asked] if asked in known else [batch_id for batch_id in known if asked and asked in batch_id]
    if not found:
        raise BatchNotFound("batch-missing", asked=asked)
    if len(found) > 1:
        raise BatchNotFound("batches-several", asked=asked, found=", ".join(found[:_SHOWN_COUNT]))
    return found[0]


def open_batches(store: EventStore) -> tuple[str, ...]:
    """Ids of all batches that are neither finished nor discarded, the newest first."""
    return tuple(
        row.batch_id
        for row in store.batches()
        # A batch whose newest entry ends it need not be read; after its end there may still be notes.
        if row.last_kind not in _ENDS
        and not any(event.kind in _ENDS for event in store.events(row.batch_id, even_damaged=True))
    )
