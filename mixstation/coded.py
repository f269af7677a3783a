"""What is told, as a flag, a refusal or a fault: a type of its own whose fields are the values of its sentence."""

from enum import StrEnum
from typing import ClassVar, Protocol

from mixstation.frozen import Frozen

ABOUT = ("material", "piece", "bucket_number", "scale_name", "asked")
"""Names of fields that say what a thing told is about."""


class Told(Protocol):
    """Anything told: a `Coded`, a member of a `PlainCode`, or a value with a code of its own from a closed list."""

    @property
    def code(self) -> str:
        """Its short name."""


class Coded(Frozen):
    """One kind of thing to be told; a class below it holds the values, each named with its unit.

    The code is given with the class, `class TooSoon(Coded, code="too-soon")`. It is what is stored, printed as data
    and tested for, and is never renamed; the class may be.

    Attributes:
        code: Its short name.
    """

    code: ClassVar[str]

    def __init_subclass__(cls, *, code: str = "") -> None:
        """Keep the code; what is between a code and this class has none."""
        super().__init_subclass__()
        if code:
            cls.code = code

    @property
    def about(self) -> str:
        """Key, name or number of what it is about, by the names in `ABOUT`; "" for all as a whole."""
        return next((str(getattr(self, name)) for name in ABOUT if hasattr(self, name)), "")


class PlainCode(StrEnum):
    """Kinds that need no value, in one class; its members are their codes."""

    @property
    def code(self) -> str:
        """Its short name."""
        return self.value

    @property
    def about(self) -> str:
        """Nothing in particular."""
        return ""


class Caution(Coded):
    """Something to think about before the first water; the plan stands all the same.

    Attributes:
        source: Where the limit comes from; given with the class, as the code is.
        is_grave: It comes before all others.
    """

    source: ClassVar[str]
    is_grave: ClassVar[bool] = False

    def __init_subclass__(cls, *, code: str = "", source: str = "") -> None:
        """Keep the code and the source."""
        super().__init_subclass__(code=code)
        if source:
            cls.source = source
