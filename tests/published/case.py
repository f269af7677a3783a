"""What one check against a published value is."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

Figure = Literal["printed", "worked out", "disagrees"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedCase:
    """One value from outside and how we compute the same thing.

    Each other module of this folder holds one source. Its docstring names the document, edition, place, how
    it was read ("[std]" read in print, "[mem]" from memory of it) and why its tolerances are what they are;
    its `CASES` are collected by `test_all_cases.py`.

    Attributes:
        source: Document and edition, with the mark "[std]", "[mem]", "[data]" or "[practice]".
        place: Section, table, page or example.
        what: The quantity, with its inputs, in a few words.
        expected: The value from outside.
        tolerance: Largest difference that still agrees, in `unit`; 0 for an exact definition.
        unit: Unit of `expected` and `tolerance`; "" for a pure number.
        compute: Returns our value in `unit`.
        figure: What `expected` is. "printed": the source states it. "worked out": computed apart from this program
            from the formula or data the source publishes. "disagrees": the source states it and this program does
            not give it again; the docstring says why, and it proves nothing.
    """

    source: str
    place: str
    what: str
    expected: float
    tolerance: float
    unit: str
    compute: Callable[[], float]
    figure: Figure = "printed"

    def deviation(self, value: float) -> float:
        """How far a value lies from the expected one, in `unit`; positive when above."""
        return value - self.expected

    def holds(self, value: float) -> bool:
        """Whether a value agrees with the expected one; never for a NaN."""
        return abs(self.deviation(value)) <= self.tolerance
