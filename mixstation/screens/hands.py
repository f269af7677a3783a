"""What the hands have done that the station does not know of yet; shown the moment a key goes down."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Hands:
    """The entry and what is said about the last key.

    Attributes:
        typed: Typed so far for the question shown.
        said: Code of a sentence about the last key, "" for none.
        pressed: What is on its way: "enter", the name of an act, or "".
    """

    typed: str = ""
    said: str = ""
    pressed: str = ""
