"""What can be wrong with a plan, and what is worth a caution; the sentences are made in the wording package."""

from collections.abc import Iterable, Mapping
from dataclasses import field
from fractions import Fraction

from mixstation.frozen import Frozen

FaultValue = str | int | float | Fraction


class PlanFault(Frozen):
    """One reason why a plan cannot be made.

    Attributes:
        about: Piece, material, bucket or scale it is about; "" for the plan as a whole.
        values: What the sentence about it needs, by name; the name ends in the unit.
    """

    code: str
    about: str = ""
    values: Mapping[str, FaultValue] = field(default_factory=dict)


class Caution(Frozen):
    """Something to think about before the first water; the plan stands all the same.

    Attributes:
        source: Where the limit comes from.
    """

    code: str
    about: str = ""
    values: Mapping[str, FaultValue] = field(default_factory=dict)
    source: str = ""


class PlanRefused(ValueError):  # noqa: N818 - a refusal that lists faults, which are the errors
    """A plan cannot be made; `faults` says why, all together."""

    def __init__(self, faults: Iterable[PlanFault]) -> None:
        """Keep the faults."""
        self.faults = tuple(faults)
        super().__init__("; ".join(f"{fault.about}: {fault.code}" for fault in self.faults))


def fault(code: str, about: str = "", /, **values: FaultValue) -> PlanFault:
    """A fault with its values. Source: Definition."""
    return PlanFault(code=code, about=about, values=values)


def refused(code: str, about: str = "", /, **values: FaultValue) -> PlanRefused:
    """A refusal for one reason. Source: Definition."""
    return PlanRefused([fault(code, about, **values)])


def caution(code: str, about: str = "", /, *, source: str, **values: FaultValue) -> Caution:
    """A caution with its values. Source: Definition."""
    return Caution(code=code, about=about, values=values, source=source)
