"""A recorded line, played back: each piece of bytes at its own second.

A log is text, one JSON list a line: seconds from the beginning, and the bytes as characters up to U+00FF.
"""

import json
from collections.abc import Callable, Iterable
from pathlib import Path
from threading import Lock
from typing import Final

from mixstation.scale.profile import Profile
from mixstation.scale.reading import LinkStatus, Reading
from mixstation.scale.receiver import Receiver
from mixstation.toml_lines import FileFault, FileRefused

Piece = tuple[float, bytes]
MAX_LOG_BYTE_COUNT: Final = 64 * 1024 * 1024
# Choice: a month; no recording of a mixing day is longer.
MOST_LOG_S: Final = 31 * 24 * 3600.0


def log_line(at_s: float, data: bytes) -> str:
    r"""One line of a log.

    Example:
        >>> log_line(0.25, b"12.5 kg\r\n")
        '[0.25, "12.5 kg\\r\\n"]'
    """
    return json.dumps([round(at_s, 6), data.decode("latin-1")])


def read_log(path: str | Path) -> list[Piece]:
    """Read a log.

    Raises:
        FileRefused: "log-unreadable" (reason), "log-too-large" (limit_byte_count) or "log-line" at its line.
    """

    def refused(code: str, line: int = 0, line_text: str = "", **values: str | int) -> FileRefused:
        return FileRefused(
            [FileFault(path=str(path), line=line, line_text=line_text, code=code, values=values)]
        )

    try:
        if Path(path).stat().st_size > MAX_LOG_BYTE_COUNT:
            raise refused("log-too-large", limit_byte_count=MAX_LOG_BYTE_COUNT)
        lines = Path(path).read_text("utf-8").splitlines()
    except OSError as error:
        raise refused("log-unreadable", reason=error.strerror or "") from None
    except UnicodeDecodeError:
        raise refused("log-unreadable", reason="utf-8") from None
    pieces: list[Piece] = []
    for number, line in enumerate(lines, start=1):
        try:
            at_s, text = json.loads(line)
            if type(at_s) not in (int, float) or not 0 <= at_s <= MOST_LOG_S:
                raise ValueError(at_s)
            pieces.append((float(at_s), text.encode("latin-1")))
        except (ValueError, TypeError, AttributeError, RecursionError):
            raise refused("log-line", number, line[:200]) from None
    return pieces


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
