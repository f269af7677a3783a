"""A program on a pty as a user has it, the real command or the terminal library alone, and what it costs.

The command is the one installed beside the interpreter, with a home folder of its own; a benchmark is best run from an
environment into which the wheel was installed. Times are told beside those of the library in the same run.
"""

import contextlib
import fcntl
import os
import pty
import select
import signal
import statistics
import struct
import subprocess
import sys
import tempfile
import termios
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

import pyte

from mixstation.scale.emulator import EmulatedScale
from mixstation.scale.profile_folder import find_profile
from mixstation.scale.pty_port import PtyPort

COMMAND = str(Path(sys.executable).with_name("mixstation"))
PROFILE = "header-token-line"
MIX = (COMMAND, "mix", "hearth_plate", "--powder", "8 kg")
BUCKET_MG = 1_240_000
PATIENCE_S = 60.0
# A key counts once the question has stood for a moment.
SETTLED_S = 1.0
GEAR_IS_ON = "gear is on"
# The library alone: one line of text; keys are counted, and lines of a port shown, where there is one.
LIBRARY = """
import sys, threading
from textual.app import App
from textual.widgets import Static

class Alone(App):
    count = 0
    def compose(self):
        yield Static("the library alone", markup=False)
    def on_mount(self):
        if len(sys.argv) > 1:
            threading.Thread(target=self.listen, daemon=True).start()
    def listen(self):
        with open(sys.argv[1], "rb", buffering=0) as port:
            while line := port.readline():
                self.call_from_thread(self.show, line.decode().strip())
    def show(self, text):
        self.query_one(Static).update(text, layout=False)
    def on_key(self, event):
        self.count += 1
        self.show(f"keys {self.count}")

Alone().run(mouse=False)
"""
ALONE = (sys.executable, "-c", LIBRARY)
ALONE_SHOWS = "the library alone"


class _Screen(pyte.Screen):
    """Ignores the private sequences a plain terminal ignores, which pyte takes for others."""

    def report_device_status(self, mode: int, **_: object) -> None:
        pass

    def set_margins(self, *args: int, **kwargs: object) -> None:
        if not kwargs:
            super().set_margins(*args)


class Subject:
    """A program on a pty, started now."""

    def __init__(self, command: Sequence[str], home: str = "", columns: int = 80, height: int = 24) -> None:
        self._master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", height, columns, 0, 0))
        dropped = ("PYTHONDONTWRITEBYTECODE", "COLUMNS", "LINES", "NO_COLOR")
        env = {name: value for name, value in os.environ.items() if name not in dropped}
        self._screen = _Screen(columns, height)
        self._stream = pyte.ByteStream(self._screen)
        self.raw = b""
        self.changed_bytes = 0
        self.read_s = 0.0
        self.started_s = time.monotonic()
        self._process = subprocess.Popen(
            command, stdin=slave, stdout=slave, stderr=slave, start_new_session=True,
            env={**env, "TERM": "xterm-256color", "MIXSTATION_HOME": home},
        )  # fmt: skip
        os.close(slave)

    def __enter__(self) -> "Subject":
        return self

    def __exit__(self, *_: object) -> None:
        self._process.send_signal(signal.SIGKILL)
        self._process.wait()
        os.close(self._master)

    def read(self, wait_s: float) -> bytes:
        """What is painted within the time, b"" if nothing is."""
        ready, _, _ = select.select([self._master], [], [], wait_s)
        data = os.read(self._master, 65536) if ready else b""
        self.read_s = time.monotonic()
        self.raw += data
        before = self._screen.display if data else []
        self._stream.feed(data)
        if data:
            self.changed_bytes += _differing(before, self._screen.display)
        return data

    @property
    def picture(self) -> str:
        """What is on the terminal."""
        return "\n".join(self._screen.display)

    def until(self, there: Callable[[], object]) -> float:
        """Read until it is there; processor seconds used by then."""
        end_s = time.monotonic() + PATIENCE_S
        while not there():
            if time.monotonic() > end_s:
                raise TimeoutError(self.picture)
            self.read(1.0)
        return self.cpu_s()

    def shows(self, text: str) -> float:
        """Read until the text is on the terminal; processor seconds used by then."""
        return self.until(lambda: text in self.picture)

    def painted(self, text: str) -> float:
        """Read until the text stands on the screen's own page, not where the command was typed; see `shows`."""
        return self.until(lambda: b"\x1b[?1049h" in self.raw and text in self.picture)

    def watch(self, seconds: float) -> int:
        """Read for so long; how many bytes were painted."""
        begun, end_s = len(self.raw), time.monotonic() + seconds
        while (left_s := end_s - time.monotonic()) > 0:
            self.read(left_s)
        return len(self.raw) - begun

    def quiet(self, still_s: float = 0.3) -> None:
        """Read until nothing has been painted for a while."""
        while self.read(still_s):
            pass

    def press(self, key: str) -> None:
        """Press a key."""
        os.write(self._master, key.encode())

    def cpu_s(self) -> float:
        """Processor time the program has used, all threads of it."""
        # How Linux names the clock of a process.
        return time.clock_gettime((~self._process.pid << 3) | 2)

    def memory_mib(self) -> tuple[float, float]:
        """Memory held now, and the most that was."""
        status = Path(f"/proc/{self._process.pid}/status").read_text(encoding="ascii")
        values = dict(line.split(":", 1) for line in status.splitlines())
        return tuple(int(values[name].split()[0]) / 1024 for name in ("VmRSS", "VmHWM"))  # type: ignore[return-value]


def _differing(before: Sequence[str], now: Sequence[str]) -> int:
    """Bytes of the characters that differ."""
    pairs = zip("".join(before), "".join(now), strict=False)
    return sum(len(new.encode()) for old, new in pairs if old != new)


@contextlib.contextmanager
def scale_on_port(
    rate_hz: float = 10.0, line: Callable[[bytes], bytes] | None = None
) -> Iterator[tuple[EmulatedScale, str]]:
    """An emulated scale with an empty bucket on it, and the port it sends on through a `line` that may listen."""
    scale = EmulatedScale(seed=1)
    scale.put_mg(BUCKET_MG)
    port = PtyPort(scale, find_profile(PROFILE), rate_hz=rate_hz, line=line)
    port.start()
    try:
        yield scale, port.name
    finally:
        port.stop()


@contextlib.contextmanager
def at_the_pour(port: str = "", columns: int = 80, height: int = 24) -> Iterator[Subject]:
    """A real batch at its first pour, on the scale's port or, without one, with typed weights."""
    on_scale = ("--port", port, "--profile", PROFILE, "--hands-free", "0 s") if port else ()
    with tempfile.TemporaryDirectory() as home, Subject((*MIX, *on_scale), home, columns, height) as subject:
        for shown in (GEAR_IS_ON, "bucket is on") if port else (GEAR_IS_ON,):
            subject.shows(shown)
            subject.watch(SETTLED_S)
            subject.press("\r")
        subject.shows("still to go" if port else "type what went in")
        subject.watch(SETTLED_S)
        yield subject


def beside(kept: Mapping[str, Sequence[float]], base: str) -> None:
    """Print the median of each with its ratio to that of one of them.

    Args:
        kept: Seconds, by what was measured.
        base: The one all are compared with.
    """
    base_s = statistics.median(kept[base])
    for name, took_s in kept.items():
        middle_s = statistics.median(took_s)
        print(
            f"{name:32} {middle_s * 1e3:8.1f} ms, best {min(took_s) * 1e3:8.1f} ms, ratio {middle_s / base_s:5.2f}"
        )
