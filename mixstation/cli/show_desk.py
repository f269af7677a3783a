"""Shows a running batch on the screen or in lines, whichever was asked for."""

import contextlib
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from types import FrameType
from typing import TYPE_CHECKING

from mixstation.cli.first_sign import can_paint, wipe_sign
from mixstation.cli.streams import can_show_signs

if TYPE_CHECKING:
    from mixstation.station.view import Desk


def show(open_desk: "Callable[[], Desk]", *, plain: bool) -> int:
    """Run a front end until it is left.

    Args:
        open_desk: Opens the batch.
        plain: Lines instead of the screen; lines it is too where there is no terminal to paint on.

    Returns:
        Exit code.
    """
    if plain or not (can_paint() and can_show_signs(sys.stderr)):
        from mixstation.lines.front import run_lines

        with _leaving_on_signals() as ended_by:
            desk, code = open_desk(), 0
            try:
                code = run_lines(desk, sys.stdin, sys.stdout, getattr(sys.stdout, "ring", lambda: None))
            finally:
                desk.stop()
        return 128 + ended_by[0] if ended_by else code
    from mixstation.screens.run import run_screen

    wipe_sign()
    return run_screen(open_desk, _reason)


@contextlib.contextmanager
def _leaving_on_signals() -> Iterator[list[int]]:
    """Have line mode leave in order when it is told to end, not fall dead with entries it still holds.

    Yields:
        The signals that came.
    """
    came: list[int] = []

    def heard(number: int, _frame: FrameType | None) -> None:
        came.append(number)
        raise KeyboardInterrupt

    if threading.current_thread() is not threading.main_thread():
        yield came
        return
    names = ("SIGTERM", "SIGHUP", "SIGQUIT")
    numbers = [getattr(signal, name) for name in names if hasattr(signal, name)]
    before = {number: signal.signal(number, heard) for number in numbers}
    try:
        yield came
    except KeyboardInterrupt:
        if not came:
            raise
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _reason(error: Exception) -> str:
    # The sentences of all errors know most of the program, and are loaded only where something went wrong.
    from mixstation.wording.error_lines import reason

    return reason(error)
