"""Every flag there is, gravest first.

A new kind goes into the module of its like and into the union at its end; the type checker then asks for its sentence.
"""

from collections.abc import Iterable
from typing import get_args

from mixstation.batch.flag.doses import DoseFlags
from mixstation.batch.flag.kind import GRAVITIES
from mixstation.batch.flag.weighing import WeighingFlags
from mixstation.batch.flag.work import WorkFlags

Flag = DoseFlags | WeighingFlags | WorkFlags

KINDS: tuple[type[Flag], ...] = get_args(Flag)


def in_order(flags: Iterable[Flag]) -> tuple[Flag, ...]:
    """Gravest first; otherwise as they came, each code and subject once."""
    first: dict[tuple[str, str], Flag] = {}
    for flag in flags:
        first.setdefault((flag.code, flag.about), flag)
    return tuple(sorted(first.values(), key=lambda flag: GRAVITIES.index(flag.gravity)))
