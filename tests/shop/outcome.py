"""What a whole batch of a seed came to."""

from collections import Counter
from dataclasses import dataclass

from tests.shop.yard import Mood


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What came of a seed.

    Attributes:
        hash: Over every answer, every view answered and every stored entry.
        ended: "finished", "discarded" or "".
        entry_count: Entries in the record.
        view_count: Views checked.
        faults: What was drawn and how often.
        codes: Flags raised.
    """

    seed: int
    mood: Mood
    hash: str
    ended: str
    entry_count: int
    view_count: int
    faults: Counter[str]
    codes: Counter[str]
