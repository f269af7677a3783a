"""The machine's clocks behind one small interface, so that everything above can be given any time."""

import time
import uuid
from datetime import UTC, datetime
from pathlib import Path
from typing import Protocol

from mixstation.batch.events import Stamp
from mixstation.batch.moment import Moment

_BOOT_ID = Path("/proc/sys/kernel/random/boot_id")


class Clock(Protocol):
    """Tells the moment."""

    def moment(self) -> Moment:
        """Now, on every clock."""

    def offset_min(self) -> int:
        """The wall clock's offset from UTC, minutes."""


class SystemClock:
    """This machine's clocks."""

    def __init__(self) -> None:
        self._boot_id = _boot_id()

    def moment(self) -> Moment:
        """Now, on every clock."""
        boot = getattr(time, "CLOCK_BOOTTIME", time.CLOCK_MONOTONIC)
        return Moment(
            utc_ms=time.time_ns() // 1_000_000,
            boot_ms=time.clock_gettime_ns(boot) // 1_000_000,
            mono_ms=time.monotonic_ns() // 1_000_000,
            boot_id=self._boot_id,
        )

    def offset_min(self) -> int:
        """The wall clock's offset from UTC, minutes."""
        offset = datetime.now(UTC).astimezone().utcoffset()
        return 0 if offset is None else int(offset.total_seconds() // 60)


# Choice: smaller steps of the wall clock are a time server's doing.
CLOCK_STEP_MS = 5_000


class WallClock:
    """Sees the wall clock jump against the clock that runs from the machine's start."""

    def __init__(self) -> None:
        self._ahead_ms: int | None = None

    def step_ms(self, moment: Moment) -> int:
        """By how much it has jumped since the last look; 0 for no jump worth telling."""
        ahead_ms = moment.utc_ms - moment.boot_ms
        before_ms, self._ahead_ms = self._ahead_ms, ahead_ms
        if before_ms is None or abs(ahead_ms - before_ms) <= CLOCK_STEP_MS:
            return 0
        return ahead_ms - before_ms


def stamp(clock: Clock, who: str, *, late: bool = False) -> Stamp:
    """A stamp for a fact that happens now."""
    now = clock.moment()
    return Stamp(
        utc_ms=now.utc_ms,
        offset_min=clock.offset_min(),
        boot_ms=now.boot_ms,
        mono_ms=now.mono_ms,
        boot_id=now.boot_id,
        who=who,
        late=late,
    )


def _boot_id() -> str:
    """The kernel's name for this run of the machine; a new one each start where the system gives none."""
    try:
        return _BOOT_ID.read_text(encoding="ascii").strip()
    except OSError:
        return uuid.uuid4().hex
