"""An emulated scale on a pseudo-terminal: its bytes take the same way as those of a scale on a cable.

The port has one name for good, a link that is repointed when the scale is plugged in again. Not for Windows.
"""

import errno
import os
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from threading import Event, Lock, Thread
from typing import Final

from mixstation.scale.decode import encode
from mixstation.scale.emulator import EmulatedScale
from mixstation.scale.fields import Unsayable
from mixstation.scale.profile import Profile

DEFAULT_RATE_HZ: Final = 10.0
# Choice: a cable holds no more than this when nobody reads; older readings are lost, not kept.
MAX_WAITING_BYTE_COUNT: Final = 1024
_LISTEN_S: Final = 0.01


def frame_of(scale: EmulatedScale, profile: Profile) -> bytes:
    """What the scale sends now: nothing while it is off or shows what the profile cannot say."""
    shown = scale.shown()
    if shown is None:
        return b""
    try:
        frame = encode(shown, profile)
    except Unsayable:
        return b""
    return (
        bytes(byte ^ (0x15 * (place % 3 == 0)) for place, byte in enumerate(frame))
        if scale.is_garbled
        else frame
    )


class PtyPort:
    """Runs an emulated scale in a thread of its own and sends what it shows."""

    def __init__(
        self,
        scale: EmulatedScale,
        profile: Profile,
        *,
        link: Path | None = None,
        rate_hz: float = DEFAULT_RATE_HZ,
        line: Callable[[bytes], bytes] | None = None,
    ) -> None:
        """Open the pseudo-terminal; nothing is sent before `start` or `pump`.

        Args:
            scale: Advanced by this port alone.
            link: Name to open the port by; by default one in a new folder for temporary files.
            rate_hz: Frames a second, 1 to 100; a polled scale sends when asked.
            line: What a line does to each frame on its way.

        Raises:
            OSError: This system has no pseudo-terminals, or none left.
        """
        self._scale = scale
        self._profile = profile
        self._period_s = 1 / rate_hz
        self._line = line
        self._own_folder = None if link else Path(tempfile.mkdtemp(prefix="mixstation-scale-"))
        self._link = link or Path(self._own_folder or "") / "scale"
        self._lock = Lock()
        self._stop = Event()
        self._thread: Thread | None = None
        self._ends: tuple[int, int] | None = None
        self._asked = b""
        self._plug_in()

    @property
    def name(self) -> str:
        """What to open."""
        return str(self._link)

    def start(self) -> None:
        """Send in real time from a daemon thread."""
        if self._thread is None:
            self._thread = Thread(target=self._run, name="emulated scale", daemon=True)
            self._thread.start()

    def stop(self) -> None:
        """Stop and take the port away."""
        self._stop.set()
        if self._thread is not None:
            self._thread.join(1.0)
        with self._lock:
            self._pull_out()
            if self._own_folder is not None:
                self._own_folder.rmdir()
                self._own_folder = None

    def pump(self, dt_s: float) -> None:
        """Let `dt_s` seconds pass for the scale, follow its plug, and send one frame."""
        self._scale.advance(dt_s)
        with self._lock:
            if self._scale.is_plugged != (self._ends is not None):
                if self._scale.is_plugged:
                    self._plug_in()
                else:
                    self._pull_out()
            if self._ends is not None and (self._profile.poll is None or self._was_asked(self._ends[0])):
                frame = frame_of(self._scale, self._profile)
                self._write(self._line(frame) if self._line else frame)

    def send_raw(self, data: bytes) -> None:
        """Send bytes that are not the scale's, such as old readings or noise; what does not fit is lost."""
        with self._lock:
            self._write(data, most=len(data) + MAX_WAITING_BYTE_COUNT)

    def received(self) -> bytes:
        """What the other end has sent and nobody has read yet."""
        with self._lock:
            return b"" if self._ends is None else self._read(self._ends[0])

    def _run(self) -> None:
        period_s = self._period_s if self._profile.poll is None else _LISTEN_S
        before_s = time.monotonic()
        while not self._stop.wait(max(0.0, before_s + period_s - time.monotonic())):
            now_s = time.monotonic()
            self.pump(now_s - before_s)
            before_s = now_s

    def _plug_in(self) -> None:
        if not hasattr(os, "openpty"):
            raise OSError(errno.ENOTSUP, "no pseudo-terminals on this system")
        import tty

        ours, theirs = os.openpty()
        tty.setraw(theirs)
        os.set_blocking(ours, False)
        self._ends = (ours, theirs)
        fresh = self._link.with_name(self._link.name + ".new")
        fresh.symlink_to(os.ttyname(theirs))
        fresh.replace(self._link)

    def _pull_out(self) -> None:
        if self._ends is not None:
            self._link.unlink(missing_ok=True)
            for end in self._ends:
                os.close(end)
            self._ends = None

    def _was_asked(self, ours: int) -> bool:
        self._asked += bytes(value & 0x7F for value in self._read(ours))
        request = self._profile.poll.request if self._profile.poll else b""
        asked = request in self._asked
        self._asked = b"" if asked else self._asked[-len(request) :]
        return asked

    @staticmethod
    def _read(ours: int) -> bytes:
        try:
            return os.read(ours, 1024)
        except OSError:
            # Nothing there.
            return b""

    def _write(self, data: bytes, most: int = MAX_WAITING_BYTE_COUNT) -> None:
        if self._ends is None or self._waiting_byte_count(self._ends[1]) > most:
            return
        try:
            os.write(self._ends[0], data)
        except OSError:
            # Full: as on a cable, what nobody takes is gone.
            return

    @staticmethod
    def _waiting_byte_count(theirs: int) -> int:
        import fcntl
        import termios

        answer = fcntl.ioctl(theirs, termios.FIONREAD, bytes(4))
        return int.from_bytes(answer, "little")
