"""What can be wrong with a typed quantity, as codes; the sentences are made in the wording package."""

from collections.abc import Mapping
from types import MappingProxyType

from mixstation.units.clean import clean

CODES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "empty": (),
        "too-long": ("length", "limit"),
        "bad-character": ("found", "character"),
        "bad-number": ("found",),
        "too-many-digits": ("found", "whole_limit", "decimal_limit"),
        "ambiguous-thousands": ("found", "as_decimal", "as_thousands"),
        "bad-fraction": ("found",),
        "unit-missing": ("found", "wanted", "suggestion"),
        "unknown-unit": ("found", "unit", "wanted", "suggestion"),
        "wrong-dimension": ("found", "unit", "dimension", "wanted", "suggestion"),
        "which-gallon": ("found", "unit", "choices"),
        "which-ton": ("found", "unit", "choices"),
        "oz-is-mass-or-volume": ("found", "unit", "choices"),
        "bad-compound": ("found", "wanted"),
        "not-whole": ("found", "unit"),
        "part-too-large": ("found", "unit", "limit"),
        "not-plausible": ("found", "name", "bounds"),
    }
)
"""Every code with the names of the values it carries."""


class UnitsError(ValueError):
    """A quantity that cannot be read.

    Attributes:
        code: One of `CODES`.
        values: Texts for the sentence, cleaned: `found` what was typed, `wanted` the dimension asked for,
            `suggestion` a unit that may have been meant ("" if none), `choices` units to choose from, `name` what is
            written, `bounds` what it can be.
    """

    def __init__(self, code: str, **values: str) -> None:
        """Keep the code and its values.

        Args:
            code: One of `CODES`.
            **values: Exactly the values `CODES` names for it.
        """
        if set(values) != set(CODES[code]):
            raise TypeError(f"{code} carries {CODES[code]}, not {tuple(values)}")
        self.code = code
        self.values: Mapping[str, str] = {name: clean(value, 60) for name, value in values.items()}
        super().__init__(", ".join([code, *(f"{name}={value!r}" for name, value in self.values.items())]))
