"""The program in lines, as a person or a script talks with it, in a process of its own."""

import contextlib
import os
import re
import subprocess
import sys
import threading
from pathlib import Path
from typing import IO

from tests.station.number_pad import typed_at_line

ROOT = Path(__file__).parents[2]
PATIENCE_S = 120.0
PROGRAM = "import sys; from mixstation.cli.main import main; sys.exit(main())"
WEIGH = re.compile(r"^(?:Weigh|O.* scale: weigh) (\S+ k?g) of ")


class Conversation:
    """One run of the program with `--plain`.

    Attributes:
        said: Every line so far.
    """

    def __init__(self, home: Path, *words: str) -> None:
        self.said: list[str] = []
        self.process = subprocess.Popen(
            [sys.executable, "-c", PROGRAM, *words],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            cwd=ROOT,
            env={**os.environ, "MIXSTATION_HOME": str(home)},
        )
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self._to: IO[str] = self.process.stdin
        self._from: IO[str] = self.process.stdout
        self._watchdog = threading.Timer(PATIENCE_S, self.process.kill)
        self._watchdog.start()

    def until(self, *words: str) -> str:
        """Hear lines up to one that holds these words, or any of several."""
        for line in self._from:
            self.said.append(line.rstrip("\n"))
            if any(each in line for each in words):
                return line
        raise AssertionError(f"{words!r} was never said:\n" + "\n".join(self.said))

    def say(self, text: str = "") -> None:
        """Type a line."""
        with contextlib.suppress(BrokenPipeError):
            self._to.write(f"{text}\n")
            self._to.flush()

    def mix(self) -> None:
        """Answer everything to the end, typing every weight that is asked for."""
        for line in self._from:
            self.said.append(line.rstrip("\n"))
            weigh = WEIGH.match(line)
            answer = weigh.group(1) if weigh else typed_at_line(line).removesuffix("\n")
            if weigh or typed_at_line(line):
                self.say(answer)

    def leave(self) -> int:
        """Nothing more is typed; hear the rest and give the exit code."""
        with contextlib.suppress(BrokenPipeError):
            self._to.close()
        self.said += [line.rstrip("\n") for line in self._from]
        code = self.process.wait(PATIENCE_S)
        self.close()
        return code

    def close(self) -> None:
        """End it, however it stands."""
        self._watchdog.cancel()
        self.process.kill()
        self.process.wait()
        with contextlib.suppress(BrokenPipeError):
            self._to.close()
        self._from.close()
