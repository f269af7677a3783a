"""What a flag is: a code with values, and how grave it is. The sentence is made by the wording."""

from fractions import Fraction

from mixstation.batch.events import Gravity
from mixstation.frozen import dataclass

Value = str | int | float | Fraction

_ORDER: dict[Gravity, int] = {"stop": 0, "warn": 1, "note": 2}


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag:
    """One thing the mixer should know.

    Attributes:
        code: What it is.
        about: Material or step key, or "".
        gravity: "stop" (do not go on before deciding), "warn", "note".
        values: Name and value of what the sentence needs.
    """

    code: str
    about: str
    gravity: Gravity
    values: tuple[tuple[str, Value], ...] = ()


def in_order(flags: list[Flag]) -> tuple[Flag, ...]:
    """Gravest first; otherwise as they came, each code and subject once."""
    first: dict[tuple[str, str], Flag] = {}
    for flag in flags:
        first.setdefault((flag.code, flag.about), flag)
    return tuple(sorted(first.values(), key=lambda flag: _ORDER[flag.gravity]))
