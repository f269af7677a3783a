"""Bytes in, readings and link state out: what every link has in common.

One thread feeds it; any thread asks it. It keeps the newest 64 readings and one unfinished frame.
"""

from collections import deque
from collections.abc import Callable
from threading import Lock
from typing import Final

from mixstation.scale.decode import Refusal, decode, weigh
from mixstation.scale.framing import framer_for
from mixstation.scale.profile import Profile
from mixstation.scale.reading import LinkState, LinkStatus, Reading
from mixstation.units.clean import clean

KEPT_COUNT: Final = 64
# Choice: a frame takes well under this to arrive, even at 300 baud; a longer pause within one means loss.
PAUSE_S: Final = 0.5
# Choice: weights come several times a second; two seconds without one is a fault a person should see.
SILENT_AFTER_S: Final = 2.0
# Choice: a line that still comes has bytes in every such span.
COMES_WITHIN_S: Final = 1.0
# Choice: so much of what cannot be read is worth showing.
_SHOWN_COUNT: Final = 24
# Choice: readings closer than this are passed over, so that the kept ones span long enough to judge steadiness.
SPACING_S: Final = 0.02


class Receiver:
    """Decodes what a link receives and says how the link stands."""

    def __init__(self, profile: Profile, port: str, clock: Callable[[], float]) -> None:
        """Start in state "opening"."""
        self._profile = profile
        self._port = clean(port)
        self._clock = clock
        self._lock = Lock()
        self._heard: Callable[[], None] = lambda: None
        self._readings: deque[Reading] = deque(maxlen=KEPT_COUNT)
        self._framer = framer_for(profile)
        self._serial = 0
        self._good_count = 0
        self._bad_count = 0
        self._state: LinkState = "opening"
        self._since_s = clock()
        self._heard_s = self._since_s
        self._bytes_s = self._since_s
        self._newest, self._refused = b"", ""
        self._detail = ""
        poll_s = profile.poll.interval_s if profile.poll else 0.0
        self._silent_after_s = max(SILENT_AFTER_S, 4 * poll_s)
        self._comes_within_s = max(COMES_WITHIN_S, 2 * poll_s)

    def tell(self, heard: Callable[[], None]) -> None:
        """Have `heard` called, in the thread that feeds, when there are new readings or the link is lost."""
        self._heard = heard

    def opened(self) -> None:
        """The port has just been opened: nothing from before counts."""
        with self._lock:
            self._framer = framer_for(self._profile)
            self._heard_s = self._clock()
            if self._state not in ("opening", "closed"):
                self._turn("opening", self._heard_s)

    def lost(self, detail: str) -> None:
        """The port is gone; it is being tried again."""
        self._leave("lost", detail)

    def closed(self) -> None:
        """We stopped."""
        self._leave("closed", "")

    def feed(self, data: bytes, at_s: float) -> int:
        """Take bytes that arrived now; gives the number of readings they made."""
        with self._lock:
            if self._state == "closed":
                return 0
            framer = self._framer
            if at_s - self._bytes_s > PAUSE_S and framer.is_mid_frame():
                framer.resync()
                self._bad_count += 1
            self._bytes_s = at_s
            self._newest = (self._newest + data)[-_SHOWN_COUNT:]
            spoiled_count = framer.spoiled_count
            frames = framer.feed(data)
            self._bad_count += framer.spoiled_count - spoiled_count
            count = sum(self._take(frame, at_s) for frame in frames)
        if count:
            self._heard()
        return count

    def latest(self) -> Reading | None:
        with self._lock:
            return self._readings[-1] if self._readings else None

    def recent(self, after_serial: int = 0) -> tuple[Reading, ...]:
        with self._lock:
            return tuple(reading for reading in self._readings if reading.serial > after_serial)

    def status(self) -> LinkStatus:
        now_s = self._clock()
        with self._lock:
            state, since_s, unread = self._state, self._since_s, ""
            silent_s = self._heard_s + self._silent_after_s
            if state in ("opening", "live") and now_s >= silent_s:
                comes = self._bytes_s > self._heard_s and now_s - self._bytes_s < self._comes_within_s
                state, since_s = "unreadable" if comes else "silent", silent_s
                unread = (self._refused or clean(self._newest.decode("latin-1"))) if comes else ""
            return LinkStatus(
                state=state,
                since_s=since_s,
                port=self._port,
                profile=self._profile.name,
                detail=self._detail,
                good_count=self._good_count,
                bad_count=self._bad_count,
                unread=unread,
            )

    def _take(self, frame: bytes, at_s: float) -> bool:
        text = clean(frame.decode("latin-1"))
        shown = decode(frame, self._profile)
        if isinstance(shown, Refusal):
            self._bad_count += 1
            self._detail, self._refused = f"{shown.code}: {text}", text[:_SHOWN_COUNT]
            return False
        self._good_count += 1
        self._serial += 1
        self._heard_s, self._refused = at_s, ""
        if self._state != "live":
            self._turn("live", at_s)
        mass_mg, division_mg = weigh(shown, self._profile.last_digit_step)
        reading = Reading(
            mass_mg=mass_mg,
            unit=shown.unit,
            division_mg=division_mg,
            motion=shown.motion,
            fault=shown.fault,
            at_s=at_s,
            serial=self._serial,
            text=text,
            tare_mark=shown.tare_mark,
        )
        if len(self._readings) > 1 and at_s - self._readings[-2].at_s < SPACING_S:
            self._readings.pop()
        self._readings.append(reading)
        return True

    def _leave(self, state: LinkState, detail: str) -> None:
        with self._lock:
            self._detail = clean(detail) or self._detail
            if self._state not in (state, "closed"):
                self._turn(state, self._clock())
        self._heard()

    def _turn(self, state: LinkState, at_s: float) -> None:
        self._state = state
        self._since_s = at_s
