"""Runs the mixing screen over a scripted desk in a terminal of its own.

Arguments: where to keep the answers, then what to show: names of views, or `fail`, `broken`, `crash`, `hang`, `flood`.
"""

import fcntl
import json
import sys
import termios
import threading
import time
from collections.abc import Sequence
from dataclasses import asdict, replace
from pathlib import Path

from mixstation.screens import run
from mixstation.station.view import Answer, Desk, View
from tests.screens import views
from tests.screens.scripted_desk import ScriptedDesk

FLOODS_PER_S = 100


class Kept(ScriptedDesk):
    """Keeps at once what it is given, and how often it was stopped."""

    def __init__(self, shown: Sequence[View], path: Path) -> None:
        super().__init__(shown)
        self._path = path
        self._keep()

    def answer(self, answer: Answer) -> None:
        super().answer(answer)
        self._keep()

    def stop(self) -> None:
        super().stop()
        self._keep()

    def _keep(self) -> None:
        kept = {"answers": [asdict(answer) for answer in self.answers], "stops": self.stops}
        whole = self._path.with_suffix(".new")
        whole.write_text(json.dumps(kept), encoding="utf-8")
        whole.replace(self._path)


class Flooding(Kept):
    """Another picture all the time."""

    def __init__(self, path: Path) -> None:
        super().__init__([views.POUR_LIVE], path)
        threading.Thread(target=self._flood, daemon=True).start()

    def _flood(self) -> None:
        serial = 1000
        while True:
            time.sleep(1 / FLOODS_PER_S)
            serial += 1
            words = f"{serial} " * 30
            self.show(
                replace(views.POUR_LIVE, serial=serial, title=words, place=words, flags=(), notice=words)
            )


class Broken(Kept):
    """Fails as nothing should."""

    def __init__(self, error: Exception, path: Path) -> None:
        super().__init__([views.POUR_LIVE], path)
        self._error = error

    def view(self) -> View:
        raise self._error


def main(kept_path: str, *names: str) -> int:
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)
    path = Path(kept_path)
    if "hang" in names:
        run.OPENER_S = 0.2
    if "flood" in names:
        run.GIVE_UP_S = 0.5

    def open_desk() -> Desk:
        if "fail" in names:
            raise OSError("recipe.toml:3: unknown key\x1b[2J 'sannd'\nwrite: sand")
        if "hang" in names:
            time.sleep(3600)
        if "flood" in names:
            return Flooding(path)
        if "broken" in names:
            return Broken(RuntimeError("a fault of our own"), path)
        if "crash" in names:
            return Broken(ZeroDivisionError(), path)
        return Kept([views.ALL[name] for name in names], path)

    return run.run_screen(open_desk)


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
