"""What a flag, a refusal or a fault of a plan is: a type of its own whose fields are the values of its sentence."""

from typing import ClassVar


class Coded:
    """One kind of thing to be told; a frozen dataclass below it holds the values, each named with its unit.

    The code is given with the class, `class TooSoon(Coded, code="too-soon")`. It is what is stored, printed as data
    and tested for, and is never renamed; the class may be.

    Attributes:
        code: Its short name.
    """

    __slots__ = ()

    code: ClassVar[str]

    def __init_subclass__(cls, *, code: str = "") -> None:
        """Keep the code; a dataclass with slots is made a second time, without it, and has it by then."""
        super().__init_subclass__()
        if code:
            cls.code = code
