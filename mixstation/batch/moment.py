"""The moment advice is asked for, and how long things have taken by the right clock."""

from fractions import Fraction

from mixstation.batch.events import Stamp
from mixstation.frozen import Frozen


class Moment(Frozen):
    """Now, on every clock a stamp has."""

    utc_ms: int
    boot_ms: int
    mono_ms: int
    boot_id: str


class Live(Frozen):
    """What the scale says now, judged.

    Attributes:
        mass_mg: What it shows, or None (no scale, silent, overload).
        division_mg: Smallest step of its display.
        state: "steady", "moving", "stale", "fault" or "none".
    """

    mass_mg: int | None
    division_mg: int
    state: str
    flow_mg_s: float
    shown: str
    serial: int


def chemical_s(since: Stamp, now: Stamp | Moment) -> float:
    """Seconds a mix has aged: the suspend-aware clock, or the wall clock across a restart of the machine."""
    if since.boot_id == now.boot_id:
        return max(0, now.boot_ms - since.boot_ms) / 1000
    return max(0, now.utc_ms - since.utc_ms) / 1000


def worked_s(since: Stamp, now: Stamp | Moment) -> float:
    """Seconds a hand has worked: stands still in suspend; 0 across a restart of the machine."""
    if since.boot_id != now.boot_id:
        return 0.0
    return max(0, now.mono_ms - since.mono_ms) / 1000


def celsius(milli_c: int) -> float:
    """Thousandths of a degree as degrees.

    >>> celsius(21500)
    21.5
    """
    return float(Fraction(milli_c, 1000))
