"""A clock moved by hand, with every clock a stamp has."""

from mixstation.batch.moment import Moment

# Any day will do.
NOON_MS = 1_800_000_000_000


class HandClock:
    """Moves only when told to; fit for stamps and for links."""

    def __init__(self) -> None:
        self.utc_ms = NOON_MS
        self.boot_ms = 5_000_000
        self.mono_ms = 4_000_000
        self.boot_id = "first boot"

    def moment(self) -> Moment:
        return Moment(utc_ms=self.utc_ms, boot_ms=self.boot_ms, mono_ms=self.mono_ms, boot_id=self.boot_id)

    def offset_min(self) -> int:
        return 60

    def mono_s(self) -> float:
        return self.mono_ms / 1000

    def go_on(self, seconds: float) -> None:
        """Time passes with the machine awake."""
        passed_ms = round(seconds * 1000)
        self.suspend(seconds)
        self.mono_ms += passed_ms

    def suspend(self, seconds: float) -> None:
        """Time passes with the machine asleep."""
        passed_ms = round(seconds * 1000)
        self.utc_ms += passed_ms
        self.boot_ms += passed_ms

    def set_wall(self, by_s: float) -> None:
        """Somebody sets the wall clock."""
        self.utc_ms += round(by_s * 1000)

    def restart(self, after_s: float) -> None:
        """The machine is started anew."""
        self.utc_ms += round(after_s * 1000)
        self.boot_ms, self.mono_ms, self.boot_id = 20_000, 20_000, "second boot"
