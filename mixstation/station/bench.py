"""What the mixer likes and what a station is opened with; it loads nothing of the core, for commands need it first."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from mixstation.frozen import Frozen
from mixstation.units.show import DisplayUnits

if TYPE_CHECKING:
    from mixstation.record.stored import EventStore
    from mixstation.scale.reading import Link
    from mixstation.station.clocks import Clock


class Settings(Frozen):
    """How a mixer likes it.

    Attributes:
        division_mg: Smallest step worth saying before a scale has been heard.
        hands_free_s: Seconds a steady weight inside its tolerance waits before it takes itself; 0 for never.
        decimal_comma: A comma in a typed number is always a decimal mark.
    """

    units: DisplayUnits = DisplayUnits.METRIC
    division_mg: int = 1_000
    hands_free_s: float = 4.0
    decimal_comma: bool = False


class Bench(Frozen):
    """What a station is opened with.

    Attributes:
        link: Makes the link to the scale, or None without one; called in the station's thread.
        at_end: Called with the store and the batch's id once the batch is over; gives the words to show.
        opened: Called with the batch's id once the batch is open; gives the words to show, "" for none.
        beside: A new batch may begin while another is open.
    """

    folder: Path
    settings: Settings
    who: str
    link: "Callable[[], Link] | None" = None
    clock: "Clock | None" = None
    at_end: "Callable[[EventStore, str], str] | None" = None
    opened: Callable[[str], str] | None = None
    beside: bool = False
