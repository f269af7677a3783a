"""Runs the screen as a program does: signals, exit codes, and a last sentence once the terminal is itself again."""

import contextlib
import os
import signal
import sys
from collections.abc import Callable, Iterator
from threading import Event, Thread
from types import FrameType

from mixstation.screens.app import MixApp
from mixstation.screens.rows import shown
from mixstation.station.view import Desk
from mixstation.wording import front

GIVE_UP_S = 3.0
OPENER_S = 2.0
SIGNALS = tuple(
    getattr(signal, name) for name in ("SIGTERM", "SIGHUP", "SIGQUIT", "SIGINT") if hasattr(signal, name)
)


@contextlib.contextmanager
def _leaving_on_signals(app: MixApp) -> Iterator[None]:
    ended = Event()

    def leave(code: int) -> None:
        app.call_later(app.exit, code, return_code=code)
        # A terminal that takes no more output blocks the screen for good; the record does not depend on it.
        if not ended.wait(GIVE_UP_S):
            if app.desk is not None:
                app.desk.stop()
            os._exit(code)

    def heard(number: int, _frame: FrameType | None) -> None:
        # From a thread, since only that wakes a screen that waits for nothing else.
        Thread(target=leave, args=(128 + number,), daemon=True).start()

    before = {number: signal.signal(number, heard) for number in SIGNALS}
    try:
        yield
    finally:
        ended.set()
        for number, handler in before.items():
            signal.signal(number, handler)


def _last_words(app: MixApp, reason: Callable[[Exception], str], code: int) -> str:
    if app.failure is not None:
        cause = app.failure if app.desk is None else app.failure.__cause__ or app.failure
        text = (
            "\n".join(shown(line) for line in reason(cause).splitlines())
            if isinstance(cause, Exception)
            else ""
        )
        words = front.NOT_OPENED if app.desk is None else front.FAILED
        return words.format(reason=text or type(cause).__name__)
    if code == 1:
        return front.CRASHED
    if app.view is None:
        return front.LEFT_OPENING
    view = app.view
    if view.saved_grave:
        # A desk that has stopped has tried once more.
        with contextlib.suppress(RuntimeError):
            view = app.desk.view() if app.desk is not None else view
    return front.parting_words(view)


def run_screen(open_desk: Callable[[], Desk], reason: Callable[[Exception], str] = str) -> int:
    """Run the mixing screen until it is left.

    Args:
        open_desk: Opens the batch; called in a thread once the first picture is out.
        reason: Makes a sentence of what `open_desk` raised.

    Returns:
        Exit code: 0 left or finished, 1 not opened or failed, 128 and the number of the signal that ended it.
    """
    app = MixApp(open_desk)
    try:
        with _leaving_on_signals(app):
            app.run(mouse=False)
    finally:
        if app.opener.ident is not None:
            app.opener.join(OPENER_S)
        if app.desk is not None:
            app.desk.stop()
    code = app.return_code or 0
    with contextlib.suppress(OSError):
        print(_last_words(app, reason, code), file=sys.stderr if code else sys.stdout, flush=True)
    return code
