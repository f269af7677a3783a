"""The journal for whoever only looks, where there may be none yet."""

import contextlib
from collections.abc import Iterator
from pathlib import Path

from mixstation.record.errors import JournalError
from mixstation.record.journal import Journal


@contextlib.contextmanager
def journal_there(folder: Path) -> Iterator[Journal | None]:
    """The journal as it lies there, to read; None where no batch has been recorded yet.

    Args:
        folder: The folder it lives in.

    Raises:
        JournalError: It could not be opened.
    """
    try:
        journal = Journal.open_reading(folder)
    except JournalError as error:
        if error.code != "no-journal":
            raise
        yield None
        return
    with contextlib.closing(journal):
        yield journal
