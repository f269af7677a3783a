"""What the hands have done that the station does not know of yet; shown the moment a key goes down."""

from mixstation.frozen import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Hands:
    """The entry and what is said about the last key.

    Attributes:
        typed: Typed so far for the question shown.
        said: Code of a sentence about the last key, "" for none.
        pressed: What is on its way: "enter", the name of an act, or "".
        read_count: How much of a text that is read to its end has been turned over, in characters without blanks.
    """

    typed: str = ""
    said: str = ""
    pressed: str = ""
    read_count: int = 0
