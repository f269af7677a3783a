"""How a mixer has a batch shown and weighed: said by options or settings, and kept with the batch that began so."""

from collections.abc import Collection
from dataclasses import fields, replace
from typing import Final

from mixstation.frozen import Frozen
from mixstation.units.show import DisplayUnits

_FIELDS: Final = {"division": "division_mg", "hands_free": "hands_free_s"}
"""By the option's name, where that is not the field's."""


class OnFile(Frozen):
    """One thing that the settings file said."""

    key: str
    value: str


class Settings(Frozen):
    """How a mixer likes it.

    Attributes:
        division_mg: Smallest step worth saying before a scale has been heard.
        hands_free_s: Seconds a steady weight inside its tolerance waits before it takes itself; 0 for never.
        decimal_comma: A comma in a typed number is always a decimal mark.
        plain: Lines instead of the screen.
        on_file: What the settings file said when the batch was begun.
    """

    units: DisplayUnits = DisplayUnits.METRIC
    division_mg: int = 1_000
    hands_free_s: float = 4.0
    decimal_comma: bool = False
    plain: bool = False
    on_file: tuple[OnFile, ...] = ()

    def with_anew(self, said: "Settings", options: Collection[str]) -> "Settings":
        """These, but for what was said anew.

        Args:
            said: What was said.
            options: Which options count; those that are none of these are passed over.
        """
        counting = {each.name for each in fields(self)}.intersection(
            _FIELDS.get(name, name) for name in options
        )
        return replace(self, **{name: getattr(said, name) for name in counting})
