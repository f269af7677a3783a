"""The one parser of words on the command line: what is wrong with them is said in short, whatever they hold."""

import argparse
from typing import Any, NoReturn

from mixstation.units.clean import clean
from mixstation.units.show import DisplayUnits

# Choice: three lines; a word of ten thousand letters need not be read back.
_LONGEST = 300

UNITS = tuple(str(unit) for unit in DisplayUnits)
"""What may be read in, as an option says it."""


class Parser(argparse.ArgumentParser):
    """Says what is wrong with the words, cleaned and of bearable length; a value that is empty is not one.

    An option that may be empty says so with `type=str`. What stands below the options keeps its lines.
    """

    def __init__(self, **settings: Any) -> None:
        """As the library's."""
        if settings.get("epilog"):
            settings["formatter_class"] = argparse.RawDescriptionHelpFormatter
        super().__init__(**settings)
        self.register("type", None, _said)

    def add_recipe(self) -> None:
        """The recipe, which need not be named."""
        self.add_argument("recipe", nargs="?", help="name of a recipe on the shelf, or a file")

    def add_weigh(self) -> None:
        """The option that says which way is weighed."""
        ways = ("bucket", "tub", "supply")
        self.add_argument("--weigh", choices=ways, default="bucket", help="what is on the scale")

    def add_units(self, **settings: Any) -> None:
        """The option that says which units are read in; all else of it as the library's."""
        self.add_argument("--units", choices=UNITS, **settings)

    def error(self, message: str) -> NoReturn:
        """End with exit code 2 and say why."""
        super().error(clean(message, _LONGEST))


def _said(text: str) -> str:
    """Words as they were said; what is left empty, often by a script, must not pass for what was left out.

    Raises:
        ArgumentTypeError: They are empty.
    """
    if not text.strip():
        from mixstation.wording.command_lines import NOTHING_SAID

        raise argparse.ArgumentTypeError(NOTHING_SAID)
    return text
