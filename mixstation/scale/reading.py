"""What one line from a scale says, and how the link to it stands."""

from collections.abc import Callable
from typing import Literal, Protocol

from mixstation.frozen import Frozen

Motion = Literal["steady", "moving", "unsaid"]
Fault = Literal["overload", "underload", "error"]
TareMark = Literal["net", "gross", "unsaid"]
LinkState = Literal["opening", "live", "silent", "unreadable", "lost", "closed"]


class Reading(Frozen):
    """One decoded weight.

    Attributes:
        mass_mg: What the display shows, converted exactly and rounded to the milligram; None under a fault.
        unit: The unit as the scale sent it, in our spelling ("kg", "g", "lb", "oz").
        division_mg: Smallest step of the display in that unit, rounded to the milligram.
        motion: What the scale itself said about movement.
        fault: A condition in which there is no weight, else None.
        at_s: Monotonic seconds when the frame's last byte arrived.
        serial: Counts readings on this link from 1; a gap means readings were passed over.
        text: The frame as shown to a person, already cleaned.
        tare_mark: Whether the scale marked the weight as net of its own tare.
    """

    mass_mg: int | None
    unit: str
    division_mg: int
    motion: Motion
    fault: Fault | None
    at_s: float
    serial: int
    text: str
    tare_mark: TareMark = "unsaid"


class LinkStatus(Frozen):
    """How the link stands.

    Attributes:
        state: "opening" until the first good frame, "live", "silent" (port open, nothing for a while),
            "unreadable" (bytes come, no good frame for a while), "lost" (port gone, trying again), "closed" (stopped
            by us).
        since_s: Monotonic seconds when this state began.
        detail: Cleaned text of the last trouble, "" if none.
        bad_count: Frames refused (garbled, failed check).
        unread: While "unreadable", what comes, cleaned; else "".
    """

    state: LinkState
    since_s: float
    port: str
    profile: str
    detail: str
    good_count: int
    bad_count: int
    unread: str = ""


class Link(Protocol):
    """A source of readings: a serial port, a replay, or the emulator in this process."""

    def start(self) -> None:
        """Begin reading in the link's own daemon thread; returns at once."""

    def stop(self) -> None:
        """Stop and release the port; returns within half a second."""

    def tell(self, heard: Callable[[], None]) -> None:
        """Have `heard` called, in the link's thread, when there are new readings or the link is lost."""

    def latest(self) -> Reading | None:
        """The newest reading, or None before the first. Never blocks."""

    def recent(self, after_serial: int = 0) -> tuple[Reading, ...]:
        """Up to the last 64 readings newer than `after_serial`, oldest first. Never blocks."""

    def status(self) -> LinkStatus:
        """How the link stands now. Never blocks."""
