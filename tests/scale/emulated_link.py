"""An emulated scale in this process: the same bytes as on a line, without the line."""

from collections.abc import Callable
from threading import Lock

from mixstation.scale.emulator import EmulatedScale
from mixstation.scale.profile import Profile
from mixstation.scale.pty_port import DEFAULT_RATE_HZ, frame_of
from mixstation.scale.reading import LinkStatus, Reading
from mixstation.scale.receiver import Receiver


class EmulatedLink:
    """A `Link` to an emulated scale; the clock given drives both, whenever the link is asked."""

    def __init__(
        self,
        scale: EmulatedScale,
        profile: Profile,
        clock: Callable[[], float],
        rate_hz: float = DEFAULT_RATE_HZ,
    ) -> None:
        """Prepare.

        Args:
            scale: Advanced by this link alone.
            profile: How the scale sends.
            clock: Monotonic seconds; may be stepped by hand.
            rate_hz: Frames a second, 1 to 100.
        """
        self._scale = scale
        self._profile = profile
        self._clock = clock
        self._period_s = 1 / rate_hz
        self._receiver = Receiver(profile, "emulated scale", clock)
        self._lock = Lock()
        self._begun_s: float | None = None
        self._frame_count = 0
        self._was_plugged = True

    def start(self) -> None:
        """Begin; time before this does not count."""
        with self._lock:
            if self._begun_s is None:
                self._begun_s = self._clock()
                self._receiver.opened()
                # A line is only believed after the end of another.
                self._receiver.feed(b"\n", self._begun_s)

    def stop(self) -> None:
        """Stop."""
        self._receiver.closed()

    def tell(self, heard: Callable[[], None]) -> None:
        """Have `heard` called when something is new."""
        self._receiver.tell(heard)

    def latest(self) -> Reading | None:
        """The newest reading, or None before the first."""
        self._catch_up()
        return self._receiver.latest()

    def recent(self, after_serial: int = 0) -> tuple[Reading, ...]:
        """Up to the last 64 readings newer than `after_serial`, oldest first."""
        self._catch_up()
        return self._receiver.recent(after_serial)

    def status(self) -> LinkStatus:
        """How the link stands now."""
        self._catch_up()
        return self._receiver.status()

    def _catch_up(self) -> None:
        with self._lock:
            if self._begun_s is None:
                return
            now_s = self._clock()
            while (at_s := self._begun_s + (self._frame_count + 1) * self._period_s) <= now_s:
                self._frame_count += 1
                self._scale.advance(self._period_s)
                self._send(at_s)

    def _send(self, at_s: float) -> None:
        if self._scale.is_plugged:
            if not self._was_plugged:
                self._receiver.opened()
                self._receiver.feed(b"\n", at_s)
            self._receiver.feed(frame_of(self._scale, self._profile), at_s)
        elif self._was_plugged:
            self._receiver.lost("unplugged")
        self._was_plugged = self._scale.is_plugged
