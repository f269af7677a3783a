"""The line between the emulated scale and the program, with what goes wrong on lines."""

from collections import deque
from collections.abc import Callable
from random import Random

from mixstation.scale.emulator import EmulatedScale
from mixstation.scale.profile import Profile
from mixstation.scale.pty_port import frame_of
from tests.scale.emulated_link import EmulatedLink

# A wait longer than this is passed over: only its end is heard, as if the machine had been busy.
HEARD_S = 3.0

LINE_FAULTS = ("garbage", "truncated", "merged", "duplicated", "wrong-speed", "flood", "old-lines")


class ShopLine(EmulatedLink):
    """The emulated link on a bad cable.

    Attributes:
        fault: What is wrong with the line now, "" if nothing.
        sent: The newest frames the scale really sent, whole, without line ends.
    """

    def __init__(
        self,
        scale: EmulatedScale,
        profile: Profile,
        clock: Callable[[], float],
        rate_hz: float,
        random: Random,
    ) -> None:
        super().__init__(scale, profile, clock, rate_hz)
        self.fault = ""
        self.sent: deque[bytes] = deque(maxlen=64)
        self._random = random

    def _catch_up(self) -> None:
        with self._lock:
            if self._begun_s is None:
                return
            behind_s = self._clock() - self._begun_s - self._frame_count * self._period_s
            unheard = int((behind_s - HEARD_S) / self._period_s) if behind_s > HEARD_S else 0
            if unheard > 0:
                self._scale.advance(unheard * self._period_s)
                self._frame_count += unheard
        super()._catch_up()

    def _send(self, at_s: float) -> None:
        frame = frame_of(self._scale, self._profile)
        if self._scale.is_plugged and frame:
            self.sent.append(frame)
        if not self._scale.is_plugged or not self._was_plugged:
            super()._send(at_s)
            return
        self._receiver.feed(self._spoiled(frame) if self.fault else frame, at_s)

    def _spoiled(self, frame: bytes) -> bytes:
        random = self._random
        match self.fault:
            case "garbage":
                return random.randbytes(random.randint(1, 30)) if random.random() < 0.5 else frame
            case "truncated":
                return frame[: random.randint(0, len(frame))] if random.random() < 0.5 else frame
            case "merged":
                return frame.rstrip(b"\r\n") if random.random() < 0.4 else frame
            case "duplicated":
                return frame + frame
            case "wrong-speed":
                return bytes((byte * 7 + 129) & 0xFF for byte in frame)
            case "flood":
                return b"7" * 4096
            case "old-lines":
                # A buffer on the way hands out what was sent a while ago.
                return self.sent[max(0, len(self.sent) - 6)] if self.sent else frame
            case _:
                raise ValueError(self.fault)
