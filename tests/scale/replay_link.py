"""A recorded line, played back: each piece of bytes at its own second."""

from collections.abc import Callable, Iterable
from threading import Lock

from mixstation.scale.profile import Profile
from mixstation.scale.reading import LinkStatus, Reading
from mixstation.scale.receiver import Receiver

Piece = tuple[float, bytes]


class ReplayLink:
    """A `Link` to a recording; the clock given says how far it has come, whenever the link is asked."""

    def __init__(
        self, pieces: Iterable[Piece], profile: Profile, clock: Callable[[], float], name: str = "recording"
    ) -> None:
        """Prepare.

        Args:
            pieces: Seconds from the beginning and bytes, in order of time.
            profile: How to read them.
            clock: Monotonic seconds; may be stepped by hand.
            name: As a person would name the recording.
        """
        self._pieces = list(pieces)
        self._clock = clock
        self._receiver = Receiver(profile, name, clock)
        self._lock = Lock()
        self._begun_s: float | None = None
        self._next = 0

    def start(self) -> None:
        """Begin to play."""
        with self._lock:
            if self._begun_s is None:
                self._begun_s = self._clock()
                self._receiver.opened()

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
        """How the link stands now; "closed" when stopped, "silent" some time after the end."""
        self._catch_up()
        return self._receiver.status()

    def _catch_up(self) -> None:
        with self._lock:
            if self._begun_s is None:
                return
            now_s = self._clock()
            while self._next < len(self._pieces):
                at_s, data = self._pieces[self._next]
                if self._begun_s + at_s > now_s:
                    break
                self._next += 1
                self._receiver.feed(data, self._begun_s + at_s)
