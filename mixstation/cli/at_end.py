"""What is done once a batch is over and stored: its record is written, and the stock brought up to date."""

import contextlib
from typing import TYPE_CHECKING

from mixstation.cli.records import write_record

if TYPE_CHECKING:
    from mixstation.record.stored import EventStore


def at_end(store: "EventStore", batch_id: str) -> str:
    """Do what there is to do; what fails is said, keeps nothing else from being done, and can be done again.

    Args:
        store: Holds the batch.
        batch_id: A batch that has ended.

    Returns:
        Sentences to show.
    """
    _forget_link(batch_id)
    return " ".join(filter(None, (write_record(store, batch_id), draw_stock(store, batch_id), *_told(store))))


def _told(store: "EventStore") -> tuple[str, ...]:
    """What befell the storage while the batch ran."""
    from mixstation.wording.storage_lines import notice_line

    return tuple(notice_line(code) for code in store.notices() if code in ("reserve-spent", "witness-behind"))


def _forget_link(batch_id: str) -> None:
    """The scale of a batch that has ended is not needed again."""
    from mixstation.record.errors import StorageError
    from mixstation.record.kept_link import forget_link
    from mixstation.record.paths import data_folder

    # A file left behind harms nothing: no other batch has this id.
    with contextlib.suppress(OSError, StorageError):
        forget_link(data_folder(), batch_id)


def draw_stock(store: "EventStore", batch_id: str) -> str:
    """Take off the stock what a batch used, where stock is kept.

    Args:
        store: Holds the batch.
        batch_id: A batch that has ended.

    Returns:
        A sentence to show; "" where stock is not kept.
    """
    from mixstation.record.paths import data_folder
    from mixstation.record.stock_draws import draw_batch
    from mixstation.record.stock_ledger import FILE_NAME, StockLedger
    from mixstation.wording.error_lines import error_line
    from mixstation.wording.stock_lines import DRAWN_OTHERWISE, NOT_UP_TO_DATE, UP_TO_DATE

    try:
        folder = data_folder()
        if not (folder / FILE_NAME).exists():
            return ""
        ledger = StockLedger.open(folder)
        try:
            drawn = draw_batch(store, ledger, batch_id)
        finally:
            ledger.close()
    except Exception as error:
        # The batch is over and stored: the next look at the stock takes off what is missing.
        return " ".join(filter(None, (NOT_UP_TO_DATE, error_line(error))))
    if drawn is None:
        return ""
    return (
        UP_TO_DATE if drawn.outcome != "drawn-otherwise" else DRAWN_OTHERWISE.format(batch_id=drawn.batch_id)
    )
