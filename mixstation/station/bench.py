"""What a station is opened with; it loads nothing of the core, for commands need it first."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from mixstation.frozen import Frozen
from mixstation.units.settings import Settings as Settings

if TYPE_CHECKING:
    from mixstation.record.stored import EventStore
    from mixstation.scale.reading import Link
    from mixstation.station.clocks import Clock


class Bench(Frozen):
    """What a station is opened with.

    Attributes:
        settings: For a new batch; one gone on with has its own.
        who: Likewise.
        anew: Which options were said, so that they count for a batch gone on with too.
        link: Makes the link to the scale, or None without one; called in the station's thread.
        at_end: Called with the store and the batch's id once the batch is over; gives the words to show.
        opened: Called with the batch's id once the batch is open; gives the words to show, "" for none.
        beside: A new batch may begin while another is open.
    """

    folder: Path
    settings: Settings
    who: str
    anew: frozenset[str] = frozenset()
    link: "Callable[[], Link] | None" = None
    clock: "Clock | None" = None
    at_end: "Callable[[EventStore, str], str] | None" = None
    opened: Callable[[str], str] | None = None
    beside: bool = False
