"""The shop's clock: it moves only when told to, and does what clocks do: step, sleep, start anew."""

from mixstation.batch.moment import Moment


class ShopClock:
    """Every clock of one machine."""

    def __init__(self) -> None:
        self.utc_ms = 1_780_000_000_000
        self.boot_ms = 5_000_000
        self.mono_ms = 4_000_000
        self.boot_count = 1
        self.zone_min = 60
        self.worked_ms = 0

    def moment(self) -> Moment:
        return Moment(
            utc_ms=self.utc_ms, boot_ms=self.boot_ms, mono_ms=self.mono_ms, boot_id=f"boot-{self.boot_count}"
        )

    def offset_min(self) -> int:
        return self.zone_min

    def mono_s(self) -> float:
        return self.mono_ms / 1000

    def go(self, ms: int) -> None:
        """Time passes."""
        self.sleep(ms)
        self.mono_ms += ms
        self.worked_ms += ms

    def sleep(self, ms: int) -> None:
        """The machine sleeps: the monotonic clock stands still."""
        self.utc_ms += ms
        self.boot_ms += ms

    def set_wall(self, by_ms: int, zone_by_min: int = 0) -> None:
        """Somebody, or a time server, or the season sets the wall clock."""
        self.utc_ms += by_ms
        self.zone_min += zone_by_min

    def start_anew(self, after_ms: int) -> None:
        """The machine was off."""
        self.utc_ms += after_ms
        self.boot_ms = self.mono_ms = 20_000
        self.boot_count += 1
