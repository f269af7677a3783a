"""What one check against a published value is."""

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedCase:
    """One printed value and how we compute the same thing.

    Each other module of this folder holds one source. Its docstring names the document, edition, place, how
    it was read ("[std]" read in print, "[mem]" from memory of it) and why its tolerances are what they are;
    its `CASES` are collected by `test_all_cases.py`.

    Attributes:
        source: Document and edition, with the mark "[std]", "[mem]", "[data]" or "[practice]".
        place: Section, table, page or example.
        what: The quantity, with its inputs, in a few words.
        printed: The value as printed.
        tolerance: Largest difference that still agrees, in `unit`; 0 for an exact definition.
        unit: Unit of `printed` and `tolerance`; "" for a pure number.
        compute: Returns our value in `unit`.
    """

    source: str
    place: str
    what: str
    printed: float
    tolerance: float
    unit: str
    compute: Callable[[], float]

    def deviation(self, value: float) -> float:
        """How far a value lies from the printed one, in `unit`; positive when above."""
        return value - self.printed

    def holds(self, value: float) -> bool:
        """Whether a value agrees with the printed one; never for a NaN."""
        return abs(self.deviation(value)) <= self.tolerance
