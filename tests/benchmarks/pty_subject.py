"""Starts a subject on a pty for the screen benchmarks and watches the bytes it paints."""

import fcntl
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from pathlib import Path
from types import TracebackType

ROOT = Path(__file__).parents[2]
PATIENCE_S = 30.0


class Subject:
    """A program on a pty of 80 by 24."""

    def __init__(self, kind: str, rate: float = 0.0) -> None:
        self._master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.started_s = time.monotonic()
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.benchmarks.screen_subjects", kind, str(rate)],
            stdin=slave, stdout=slave, stderr=slave, cwd=ROOT, start_new_session=True,
            env={**os.environ, "TERM": "xterm-256color", "COLUMNS": "80", "LINES": "24"},
        )  # fmt: skip
        os.close(slave)

    def __enter__(self) -> "Subject":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._process.send_signal(signal.SIGKILL)
        self._process.wait()
        os.close(self._master)

    def read(self, wait_s: float) -> bytes:
        """What is painted within the time, b"" if nothing is."""
        ready, _, _ = select.select([self._master], [], [], wait_s)
        return os.read(self._master, 65536) if ready else b""

    def until(self, marker: bytes) -> float:
        """Monotonic time at which `marker` had been painted."""
        painted = b""
        end_s = time.monotonic() + PATIENCE_S
        while marker not in painted:
            if time.monotonic() > end_s:
                raise TimeoutError(painted[-2000:])
            painted += self.read(1.0)
        return time.monotonic()

    def quiet(self, still_s: float = 0.3) -> None:
        """Read until nothing has been painted for a while."""
        while self.read(still_s):
            pass

    def press(self, key: bytes) -> float:
        """Press a key; seconds until something is painted."""
        begun_s = time.monotonic()
        os.write(self._master, key)
        if not self.read(PATIENCE_S):
            raise TimeoutError(key)
        return time.monotonic() - begun_s

    def cpu_s(self) -> float:
        """Processor time the program has used."""
        fields = (
            Path(f"/proc/{self._process.pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
        )
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def memory_mib(self) -> float:
        """Memory the program holds."""
        pages = int(Path(f"/proc/{self._process.pid}/statm").read_text(encoding="ascii").split()[1])
        return pages * os.sysconf("SC_PAGE_SIZE") / 2**20
