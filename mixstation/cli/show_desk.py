"""Shows a running batch on the screen or in lines, whichever was asked for."""

import os
import sys
from collections.abc import Callable

from mixstation.station.desk import Desk


def show(open_desk: Callable[[], Desk], *, plain: bool) -> int:
    """Run a front end until it is left.

    Args:
        open_desk: Opens the batch.
        plain: Lines instead of the screen; lines it is too where there is no terminal to paint on.

    Returns:
        Exit code.
    """
    from mixstation.wording.error_lines import reason

    if plain or not _can_paint():
        from mixstation.lines.front import run_lines

        desk = open_desk()
        try:
            return run_lines(desk, sys.stdin, sys.stdout)
        finally:
            desk.stop()
    from mixstation.screens.run import run_screen

    return run_screen(open_desk, reason)


def _can_paint() -> bool:
    """Whether keys come from a terminal and there is one to paint on (the screen is painted to standard error)."""
    return sys.stdin.isatty() and sys.stderr.isatty() and os.environ.get("TERM", "dumb") != "dumb"
