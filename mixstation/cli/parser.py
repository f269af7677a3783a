"""The one parser of words on the command line: what is wrong with them is said in short, whatever they hold."""

import argparse
from typing import Any, NoReturn

from mixstation.units.clean import clean

# Choice: three lines; a word of ten thousand letters need not be read back.
_LONGEST = 300


class Parser(argparse.ArgumentParser):
    """Says what is wrong with the words, cleaned and of bearable length; a value that is empty is not one.

    An option that may be empty says so with `type=str`.
    """

    def __init__(self, **settings: Any) -> None:
        """As the library's."""
        super().__init__(**settings)
        self.register("type", None, _said)

    def error(self, message: str) -> NoReturn:
        """End with exit code 2 and say why."""
        super().error(clean(message, _LONGEST))


def _said(text: str) -> str:
    """Words as they were said; what is left empty, often by a script, must not pass for what was left out.

    Raises:
        ArgumentTypeError: They are empty.
    """
    if not text.strip():
        raise argparse.ArgumentTypeError("nothing is said; say a value, or leave it out")
    return text
