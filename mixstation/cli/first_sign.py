"""A word on the terminal at once, while the library that paints the screen is still loading."""

import os
import sys


def can_paint() -> bool:
    """Whether keys come from a terminal and there is one to paint on (the screen is painted to standard error)."""
    at_terminal = all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stderr))
    return at_terminal and os.environ.get("TERM", "dumb") != "dumb"


def show_sign() -> None:
    """Say that the program is on its way; whatever is printed next is printed over it."""
    if can_paint():
        from mixstation.wording.front import OPENING

        print(OPENING, end="\r", file=sys.stderr, flush=True)


def wipe_sign() -> None:
    """Take the word away; where none was shown, nothing changes, for the line the cursor is on is empty."""
    if can_paint():
        from mixstation.cli.streams import wipe_line

        wipe_line(sys.stderr)
