"""Whether two names would be taken for each other: in another case, composed otherwise, or with look-alike letters."""

import unicodedata
from collections.abc import Iterable

# Letters in lower case; each looks like the Latin letter below it, in this or in its upper case, and so do two digits.
_LOOKS = str.maketrans(
    "авекмнорстухіјѕԁӏһԛԝѵԍαβεζηικμνορτυχıɡɑ01",
    "abekmhopctyxijsdlhqwvgabezhikmnoptyxigaol",
)


def alike(name: str) -> str:
    """What is the same for all names that look the same.

    Args:
        name: Any text.

    Returns:
        A key to compare by, not to show.

    Source: Unicode Standard Annex 15 (NFKC) and its case folding; the look-alike letters: Choice, Cyrillic, Greek and
        phonetic ones that a person cannot tell from Latin.

    Example:
        >>> alike("Sand") == alike("SАND ")
        True
    """
    folded = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", name).casefold())
    return " ".join(folded.translate(_LOOKS).split())


def first_alike(name: str, others: Iterable[str]) -> str | None:
    """The first of other names that would be taken for this one and is not the same; None where there is none."""
    key = alike(name)
    return next((other for other in others if other != name and alike(other) == key), None)
