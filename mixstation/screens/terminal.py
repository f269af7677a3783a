"""Makes the terminal driver bear what a yard sends it: stray bytes, a number pad in its other mode, a lost line."""

import os
import signal
import sys
from encodings.utf_8 import IncrementalDecoder

from textual import _ansi_sequences
from textual.driver import Driver

PAD_SEQUENCE = "\x1bOl"
PLUS_TERMINALS = ("linux", "putty")


class KeyDecoder(IncrementalDecoder):
    """Puts U+FFFD for bytes that are not text, and tells of the end of input, which the driver reads on and on."""

    def __init__(self) -> None:
        super().__init__("replace")

    def decode(self, input: bytes, final: bool = False) -> str:  # type: ignore[override] # noqa: A002
        """The text so far.

        Raises:
            EOFError: There will be no more.
        """
        if not input:
            raise EOFError
        return super().decode(input, final)


def pad_key() -> str:
    """What the one sequence means on which terminals differ: the pad's plus on a console, else its comma."""
    return "+" if os.environ.get("TERM", "").startswith(PLUS_TERMINALS) else ","


def driver_class() -> type[Driver] | None:
    """The driver to run the screen with; None for the library's own choice."""
    if sys.platform == "win32":
        return None
    from textual.drivers import linux_driver

    # The driver looks both up as globals each time it starts to read; there is no setting for either.
    vars(linux_driver)["getincrementaldecoder"] = lambda _encoding: KeyDecoder
    vars(_ansi_sequences)["ANSI_SEQUENCES_KEYS"].setdefault(PAD_SEQUENCE, pad_key())

    class YardDriver(linux_driver.LinuxDriver):
        """Reads on after a sequence that cannot be read; a line that is gone counts as hung up."""

        def run_input_thread(self) -> None:
            while not self.exit_event.is_set():
                try:
                    super().run_input_thread()
                except (ValueError, OverflowError):
                    continue
                except (OSError, EOFError):
                    if not self.exit_event.is_set():
                        os.kill(os.getpid(), signal.SIGHUP)
                    return

        def _sigcont_application(self, *_: object) -> None:
            # A hang-up sends this to a screen that was never suspended: a second reader must not start.
            if self._key_thread is None or not self._key_thread.is_alive():
                super()._sigcont_application()

    return YardDriver
