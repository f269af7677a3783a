"""What a flag, a refusal or a fault of a plan is: a type of its own whose fields are the values of its sentence."""

from typing import ClassVar

from mixstation.frozen import Frozen


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
