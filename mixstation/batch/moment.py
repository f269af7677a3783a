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
        unread: What comes from it and cannot be read, where that is why it is stale; else "".
    """

    mass_mg: int | None
    division_mg: int
    state: str
    flow_mg_s: float
    shown: str
    serial: int
    unread: str = ""


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


def slack_s(bound_s: float) -> float:
    """How far a time may be off a bound before it is worth a word: a twentieth of it, at least 3 s, never over half.

    Where a bound keeps somebody from harm it is kept to the letter: no water once the working time is over.

    Source: Choice: a hand that leaves the paddle for a key, and a paddle that runs down, take seconds; a twentieth more
        or less of a mixing or a rest is less than one powder differs from the next.

    >>> slack_s(4), slack_s(60), slack_s(180)
    (2.0, 3, 9.0)
    """
    return min(max(3, bound_s / 20), bound_s / 2)


def too_short(took_s: float, min_s: float) -> bool:
    """Whether a time fell short of its least by more than its slack.

    >>> too_short(178, 180), too_short(170, 180)
    (False, True)
    """
    return took_s < min_s - slack_s(min_s)


def too_long(took_s: float, max_s: float) -> bool:
    """Whether a time passed its most by more than its slack.

    >>> too_long(93, 90), too_long(95, 90)
    (False, True)
    """
    return took_s > max_s + slack_s(max_s)


def celsius(milli_c: int) -> float:
    """Thousandths of a degree as degrees.

    >>> celsius(21500)
    21.5
    """
    return float(Fraction(milli_c, 1000))
