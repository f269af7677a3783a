"""What is wrong with a file, gathered so that it is told all together, each fault on its line."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Final

from mixstation.coded import Told
from mixstation.toml.lines import FileFault, KeyPath, fault_at, line_of, suggestion
from mixstation.units.clean import clean

MAX_FAULT_COUNT: Final = 100
_MAX_NEAR_CHARACTER_COUNT: Final = 40
_MAX_NEAR_COUNT: Final = 5


class Faults:
    """The faults of one file, the first 100 of them; more would be one slip seen many times."""

    def __init__(self, text: str, where: str, lines: Mapping[KeyPath, int], *, places: bool = False) -> None:
        """Start with none.

        Args:
            text: The file's text.
            where: Its path, as it was asked for.
            lines: See `mixstation.toml.lines.locate`.
            places: Name each key with the tables around it, for files that write several tables on a line.
        """
        self.found: list[FileFault] = []
        self._text, self._where, self._lines, self._places = text, where, lines, places

    @property
    def is_full(self) -> bool:
        """Whether further faults would be dropped."""
        return len(self.found) >= MAX_FAULT_COUNT

    def line(self, path: KeyPath) -> int:
        """Line of the path or of what encloses it; 0 where even its first part is missing."""
        return line_of(self._lines, path) if path[:1] in self._lines else 0

    def add(self, path: KeyPath, told: Told, example: str = "") -> None:
        """Note a fault.

        Args:
            path: The key it is about; a key that is missing is reported where its table begins.
            told: What is wrong.
            example: What may be written.
        """
        if self.is_full:
            return
        key = next((part for part in reversed(path) if isinstance(part, str)), "")
        place = _place(path) if self._places else ""
        fault = fault_at(self._text, self._where, self.line(path), told)
        self.found.append(replace(fault, key=clean(key, 60), place=place, example=example))


def nearest(words: Iterable[str], known: Iterable[str]) -> str:
    """What the first few of some words may have been meant for; "" where nothing is near.

    Source: Choice: looking for the nearest takes long for long words, and no key of ours is one.
    """
    known = tuple(known)
    short = [word for word in words if len(word) <= _MAX_NEAR_CHARACTER_COUNT][:_MAX_NEAR_COUNT]
    return next(filter(None, (suggestion(word, known) for word in short)), "")


def _place(path: KeyPath) -> str:
    parts = (f"[{part + 1}]" if isinstance(part, int) else f".{part}" for part in path)
    return clean("".join(parts).removeprefix("."), 100)
