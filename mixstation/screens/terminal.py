"""Makes the terminal driver bear what a yard sends it: stray bytes, a number pad in its other mode, a lost line."""

import os
import signal
import sys
from codecs import IncrementalDecoder, getincrementaldecoder
from collections.abc import Callable
from functools import partial

from textual import _ansi_sequences
from textual.driver import Driver

PAD_SEQUENCE = "\x1bOl"
PLUS_TERMINALS = ("linux", "putty")


def forgiving(encoding: str) -> Callable[[], IncrementalDecoder]:
    """Makes decoders that put U+FFFD for bytes that are not text, where the driver asks for strict ones."""
    return partial(getincrementaldecoder(encoding), errors="replace")


def pad_key() -> str:
    """What the one sequence means on which terminals differ: the pad's plus on a console, else its comma."""
    return "+" if os.environ.get("TERM", "").startswith(PLUS_TERMINALS) else ","


def driver_class() -> type[Driver] | None:
    """The driver to run the screen with; None for the library's own choice."""
    if sys.platform == "win32":
        return None
    from textual.drivers import linux_driver

    # The driver looks both up as globals each time it starts to read; there is no setting for either.
    vars(linux_driver)["getincrementaldecoder"] = forgiving
    vars(_ansi_sequences)["ANSI_SEQUENCES_KEYS"].setdefault(PAD_SEQUENCE, pad_key())

    class YardDriver(linux_driver.LinuxDriver):
        """Reads on after a sequence that cannot be read; a line that is gone counts as hung up."""

        def run_input_thread(self) -> None:
            while not self.exit_event.is_set():
                try:
                    super().run_input_thread()
                except (ValueError, OverflowError):
                    continue
                except OSError:
                    os.kill(os.getpid(), signal.SIGHUP)
                    return

    return YardDriver
