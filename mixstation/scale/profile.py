"""What a scale profile holds: how to open the port, where a frame begins and ends, and the fields in it."""

from collections.abc import Mapping
from typing import Literal

from mixstation.frozen import Frozen
from mixstation.scale.fields import Field, Shown

Parity = Literal["none", "even", "odd", "mark", "space"]


class SerialSettings(Frozen):
    """How the scale sends; a text profile reads either parity."""

    baud: int = 9600
    data_bits: Literal[7, 8] = 8
    parity: Parity = "none"
    stop_bits: Literal[1, 2] = 1


class LineFraming(Frozen):
    """Lines; any run of CR and LF ends one when read, `end` when written."""

    end: bytes = b"\r\n"
    longest: int = 80


class EnclosedFraming(Frozen):
    """From a start byte to an end byte, and `after` bytes more, which may hold anything."""

    start: bytes
    end: bytes
    after: int = 0
    longest: int = 80


class LeadFraming(Frozen):
    """`length` bytes from a lead byte on; only the last `after` of them may hold that byte again."""

    lead: bytes
    length: int
    after: int = 0


Framing = LineFraming | EnclosedFraming | LeadFraming


class Poll(Frozen):
    """What is sent to a scale that speaks only when asked, and how often, seconds."""

    request: bytes
    interval_s: float


class Profile(Frozen):
    """How one kind of line is read.

    Attributes:
        name: The stem of its file, after the shape of the line.
        is_text: The frames are ASCII, so that bit 7 is parity or nothing and is dropped.
        poll: For scales that must be asked, else None.
        unit: Where the frame names none; "" if it always does.
        last_digit_step: By unit, what the last digit counts in (1, 2, 5, ...); 1 for a unit not named.
    """

    name: str
    title: str
    serial: SerialSettings
    is_text: bool
    framing: Framing
    fields: tuple[Field, ...]
    poll: Poll | None
    unit: str
    last_digit_step: Mapping[str, int]
    samples: tuple[tuple[bytes, Shown], ...] = ()
