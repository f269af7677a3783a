"""Runs the mixing screen over a scripted desk in a terminal of its own.

Arguments: where to write the answers, then what to show: names of views, or `fail`, `broken`, `crash`, `hang`, `flood`.
"""

import fcntl
import json
import sys
import termios
import time
from dataclasses import asdict, replace
from pathlib import Path

from mixstation.screens.run import run_screen
from mixstation.station.desk import Desk
from mixstation.station.view import View
from tests.screens import views
from tests.screens.scripted_desk import ScriptedDesk


class Flooding(ScriptedDesk):
    """Another notice every time it is asked; keeps its own count of stops, since nothing runs after it."""

    def __init__(self, answers_path: str) -> None:
        super().__init__([views.POUR_LIVE])
        self._path = Path(answers_path)
        self._serial = 1000

    def view(self) -> View:
        self._serial += 1
        words = f"{self._serial} " * 30
        return replace(super().view(), serial=self._serial, title=words, place=words, flags=(), notice=words)

    def stop(self) -> None:
        super().stop()
        self._path.write_text(json.dumps({"answers": [], "stops": self.stops}), encoding="utf-8")


class Broken(ScriptedDesk):
    """Fails as nothing should."""

    def __init__(self, error: Exception) -> None:
        super().__init__([])
        self._error = error

    def view(self) -> View:
        raise self._error


def main(answers_path: str, *names: str) -> int:
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)
    desk = ScriptedDesk([views.ALL[name] for name in names if name in views.ALL])

    def open_desk() -> Desk:
        if "fail" in names:
            raise OSError("recipe.toml:3: unknown key\x1b[2J 'sannd'\nwrite: sand")
        if "hang" in names:
            time.sleep(3600)
        if "flood" in names:
            return Flooding(answers_path)
        if "broken" in names:
            return Broken(RuntimeError("a fault of our own"))
        if "crash" in names:
            return Broken(ZeroDivisionError())
        return desk

    try:
        return run_screen(open_desk)
    finally:
        kept = {"answers": [asdict(answer) for answer in desk.answers], "stops": desk.stops}
        Path(answers_path).write_text(json.dumps(kept), encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
