"""The one parser of words on the command line: what is wrong with them is said in short, whatever they hold."""

import argparse
from typing import NoReturn

from mixstation.units.clean import clean

# Choice: three lines; a word of ten thousand letters need not be read back.
_LONGEST = 300


class Parser(argparse.ArgumentParser):
    """Says what is wrong with the words, cleaned and of bearable length."""

    def error(self, message: str) -> NoReturn:
        """End with exit code 2 and say why."""
        super().error(clean(message, _LONGEST))
