"""Shows a running batch on the screen or in lines, whichever was asked for."""

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from mixstation.cli.first_sign import can_paint, wipe_sign

if TYPE_CHECKING:
    from mixstation.station.desk import Desk


def show(open_desk: "Callable[[], Desk]", *, plain: bool) -> int:
    """Run a front end until it is left.

    Args:
        open_desk: Opens the batch.
        plain: Lines instead of the screen; lines it is too where there is no terminal to paint on.

    Returns:
        Exit code.
    """
    if plain or not can_paint():
        from mixstation.lines.front import run_lines

        desk = open_desk()
        try:
            return run_lines(desk, sys.stdin, sys.stdout)
        finally:
            desk.stop()
    from mixstation.screens.run import run_screen

    wipe_sign()
    return run_screen(open_desk, _reason)


def _reason(error: Exception) -> str:
    # The sentences of all errors know most of the program, and are loaded only where something went wrong.
    from mixstation.wording.error_lines import reason

    return reason(error)
