"""The border to the terminal: whatever a command prints is cleaned here, and fits what the other side can take."""

import codecs
import contextlib
import io
import os
import sys
import unicodedata
from collections.abc import Iterator
from typing import TextIO

from mixstation.units.clean import clean

_PLAINER = {
    "–": "-", "—": "-", "−": "-", "‘": "'", "’": "'", "“": '"', "”": '"', "×": "x", "·": "-", "°": "deg ",
    "≤": "<=", "≥": ">=", "±": "+/-", "▼": "v", "▲": "^", "■": "#",
}  # fmt: skip
"""Signs of our own sentences for an output that lacks them. Source: Choice: what can be read aloud the same."""


def _plainer(error: UnicodeError) -> tuple[str, int]:
    """The nearest that can be written of signs an output does not have, else a question mark."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(map(_in_ascii, error.object[error.start : error.end])), error.end


def _in_ascii(sign: str) -> str:
    bare = unicodedata.normalize("NFKD", _PLAINER.get(sign, sign)).encode("ascii", "ignore").decode()
    return bare or "?"


codecs.register_error("mixstation-plainer", _plainer)


class CleanText(io.TextIOBase):
    """A text stream that puts U+FFFD for every sign that could act on a terminal; only line feeds pass."""

    def __init__(self, below: TextIO) -> None:
        """Write to `below` from now on."""
        self._below = below
        if isinstance(below, io.TextIOWrapper):
            below.reconfigure(errors="mixstation-plainer")

    @property
    def encoding(self) -> str:  # type: ignore[override]
        """That of the stream below."""
        return self._below.encoding or "ascii"

    def writable(self) -> bool:
        """It is."""
        return True

    def isatty(self) -> bool:
        """Whether a terminal is below."""
        return self._below.isatty()

    def fileno(self) -> int:
        """That of the stream below.

        Raises:
            OSError: It has none.
        """
        return self._below.fileno()

    def write(self, text: str) -> int:
        """Write, cleaned; gives how much was handed in."""
        self._below.write("\n".join(clean(line, len(line) + 1) for line in text.split("\n")))
        return len(text)

    def flush(self) -> None:
        """Flush the stream below, unless it is closed already."""
        if not self._below.closed:
            self._below.flush()

    def wipe_line(self) -> None:
        """Clear the terminal's line from the cursor on."""
        if self.isatty():
            self._below.write("\x1b[K")
            self._below.flush()

    def ring(self) -> None:
        """Ring the terminal's bell; nothing else is asked of it in lines."""
        if self.isatty():
            self._below.write("\a")


@contextlib.contextmanager
def cleaned_streams() -> Iterator[None]:
    """Have everything printed inside go through the border; streams that are closed read and take nothing."""
    before = sys.stdin, sys.stdout, sys.stderr
    with contextlib.ExitStack() as opened:

        def or_nothing(stream: TextIO | None, mode: str) -> TextIO:
            # Its number would go to the next file opened, and what is printed would go into that.
            if stream is not None:
                return stream
            return io.TextIOWrapper(opened.enter_context(open(os.devnull, f"{mode}b")), "utf-8")  # noqa: PTH123

        sys.stdin = or_nothing(before[0], "r")
        below = or_nothing(before[1], "w"), or_nothing(before[2], "w")
        sys.stdout, sys.stderr = map(CleanText, below)
        try:
            yield
        finally:
            for stream in below:
                try:
                    stream.flush()
                except OSError:
                    # Python would try to write the rest as it ends, and complain.
                    _drop(stream)
            sys.stdin, sys.stdout, sys.stderr = before


def wipe_line(stream: TextIO) -> None:
    """Clear the line the cursor is on, where the border stands between us and a terminal."""
    if isinstance(stream, CleanText):
        stream.wipe_line()


def can_show_signs(stream: TextIO | None) -> bool:
    """Whether a stream can take the signs the screen is painted with."""
    try:
        "▼■▲─│…°".encode(getattr(stream, "encoding", None) or "ascii")
    except (LookupError, UnicodeError):
        return False
    return True


def _drop(stream: TextIO) -> None:
    """Nobody reads any more: what is still to be written goes nowhere."""
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
