"""A terminal for tests: a real pty with a program on it, and the picture the program paints."""

import fcntl
import json
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
import threading
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

import pyte

from mixstation.screens.gloves import SETTLE_S

ROOT = Path(__file__).parents[2]
PATIENCE_S = 90.0
KEY_GAP_S = 0.08


class _Screen(pyte.Screen):
    """Ignores the private sequences a plain terminal ignores, which pyte takes for others."""

    def report_device_status(self, mode: int, **_: object) -> None:
        pass

    def set_margins(self, *args: int, **kwargs: object) -> None:
        if not kwargs:
            super().set_margins(*args)


class Terminal:
    """Starts the program, keeps what it writes, types at it."""

    def __init__(
        self,
        folder: Path,
        *names: str,
        columns: int = 80,
        height: int = 24,
        env: Mapping[str, str] | None = None,
        command: Sequence[str] = (),
    ) -> None:
        self._kept = folder / "kept.json"
        self.raw = b""
        self._screen = _Screen(columns, height)
        self._stream = pyte.ByteStream(self._screen)
        self._news = threading.Condition()
        self._deaf = threading.Event()
        self._master, slave = pty.openpty()
        self.resize(columns, height)
        inherited = {
            name: value
            for name, value in os.environ.items()
            if name not in ("NO_COLOR", "COLORTERM", "COLUMNS", "LINES")
        }
        self.process = subprocess.Popen(
            command or [sys.executable, "-m", "tests.screens.pty_program", str(self._kept), *names],
            stdin=slave, stdout=slave, stderr=slave, cwd=ROOT, start_new_session=True,
            env={**inherited, "TERM": "xterm-256color", **(env or {})},
        )  # fmt: skip
        os.close(slave)
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        while not self._deaf.is_set():
            if not select.select([self._master], [], [], 0.05)[0]:
                continue
            try:
                data = os.read(self._master, 65536)
            except OSError:
                data = b""
            with self._news:
                self.raw += data
                # pyte takes the keyboard protocol's "CSI > … u" for text.
                self._stream.feed(data.replace(b"\x1b[>25u", b"").replace(b"\x1b[<u", b""))
                self._news.notify_all()
            if not data:
                return

    @property
    def text(self) -> str:
        with self._news:
            return "\n".join(line.rstrip() for line in self._screen.display)

    def wait(self, *words: str, without: str = "") -> str:
        """Wait until all the words are on the screen, and `without` is not."""
        until_s = time.monotonic() + PATIENCE_S
        with self._news:
            while True:
                text = "\n".join(line.rstrip() for line in self._screen.display)
                if all(word in text for word in words) and not (without and without in text):
                    return text
                left_s = until_s - time.monotonic()
                assert left_s > 0, f"waited for {words}:\n{text}"
                self._news.wait(left_s)

    def send(self, data: bytes) -> None:
        """Type bytes all at once."""
        os.write(self._master, data)

    def key(self, data: bytes, *words: str) -> None:
        """Press one key and wait for what it shows; then let the hand travel to the next key."""
        self.send(data)
        self.wait(*words)
        time.sleep(KEY_GAP_S)

    def settle(self) -> None:
        """Read a new question before pressing anything, as the screen asks people to."""
        time.sleep(SETTLE_S + KEY_GAP_S)

    def resize(self, columns: int, height: int) -> None:
        """Make the window another size, as a person dragging it would."""
        fcntl.ioctl(self._master, termios.TIOCSWINSZ, struct.pack("HHHH", height, columns, 0, 0))
        with self._news:
            self._screen.resize(height, columns)
        if hasattr(self, "process"):
            os.killpg(self.process.pid, signal.SIGWINCH)

    def stall(self) -> None:
        """Take nothing more from the program, and wait until it stands still because no more of its output fits."""
        self._deaf.set()
        until_s = time.monotonic() + PATIENCE_S
        before, now = "", self._stand()
        # A process that waits for a busy machine uses no time either, but it is not asleep.
        while before != now or not now.startswith("S"):
            assert time.monotonic() < until_s, "it never stood still"
            time.sleep(0.4)
            before, now = now, self._stand()

    def _stand(self) -> str:
        """Its state, and the time it has used."""
        fields = Path(f"/proc/{self.process.pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
        return " ".join((fields[0], *fields[11:13]))

    def hang_up(self) -> None:
        """Take the terminal away."""
        self._deaf.set()
        self._reader.join(PATIENCE_S)
        os.close(self._master)
        self._master = -1

    def ended(self) -> int:
        """Wait for the end; the exit code."""
        code = self.process.wait(PATIENCE_S)
        self._reader.join(PATIENCE_S)
        return code

    def kept(self) -> dict[str, object]:
        """Answers the desk was given, and how often it was stopped."""
        kept = json.loads(self._kept.read_text(encoding="utf-8"))
        assert isinstance(kept, dict)
        return kept

    def answers(self) -> list[tuple[str, str]]:
        """What was pressed and typed."""
        answers = self.kept()["answers"]
        assert isinstance(answers, list)
        return [(answer["pressed"], answer["typed"]) for answer in answers]

    def close(self) -> None:
        """End the program if it has not ended, and the terminal."""
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        if self._master >= 0:
            self._reader.join(PATIENCE_S)
            os.close(self._master)
