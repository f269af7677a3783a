"""Runs the mixing screen over a scripted desk in a terminal of its own.

Arguments: where to write the answers, then what to show: names of views, or `fail`, `crash`, `hang`.
"""

import fcntl
import json
import sys
import termios
import time
from dataclasses import asdict
from pathlib import Path

from mixstation.screens.run import run_screen
from mixstation.station.desk import Desk
from mixstation.station.view import View
from tests.screens import views


class Broken(views.ScriptedDesk):
    """Fails as nothing should."""

    def view(self) -> View:
        raise RuntimeError("a fault of our own")


def main(answers_path: str, *names: str) -> int:
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)
    desk = views.ScriptedDesk([views.ALL[name] for name in names if name in views.ALL])

    def open_desk() -> Desk:
        if "fail" in names:
            raise OSError("recipe.toml:3: unknown key\x1b[2J 'sannd'\nwrite: sand")
        if "hang" in names:
            time.sleep(3600)
        return Broken([]) if "crash" in names else desk

    try:
        return run_screen(open_desk)
    finally:
        kept = {"answers": [asdict(answer) for answer in desk.answers], "stops": desk.stops}
        Path(answers_path).write_text(json.dumps(kept), encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
