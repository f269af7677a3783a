"""Shows a running batch on the screen or in lines, whichever was asked for."""

import sys
from collections.abc import Callable

from mixstation.station.desk import Desk


def show(open_desk: Callable[[], Desk], *, plain: bool) -> int:
    """Run a front end until it is left.

    Args:
        open_desk: Opens the batch.
        plain: Lines instead of the screen.

    Returns:
        Exit code.
    """
    from mixstation.wording.error_lines import reason

    if plain:
        from mixstation.lines.front import run_lines

        desk = open_desk()
        try:
            return run_lines(desk, sys.stdin, sys.stdout)
        finally:
            desk.stop()
    from mixstation.screens.run import run_screen

    return run_screen(open_desk, reason)
