"""Collecting what is wrong with a recipe file, each fault on its line and with what may be written instead."""

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final

from mixstation.toml_lines import FileFault, KeyPath, fault_at, line_of, suggestion
from mixstation.units.clean import clean

MAX_FAULT_COUNT: Final = 100
_MAX_SUGGESTED_CHARACTER_COUNT: Final = 40

EXAMPLES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "name": '"Planter wall"',
        "revision": '"1"',
        "note": '"For walls 12 mm thick."',
        "air": '"5 %"',
        "working_time": '"30 min"',
        "currency": '"EUR"',
        "water": '"70 %"',
        "of": '"cement"',
        "target": '"33 %"',
        "least": '"31 %"',
        "most": '"35 %"',
        "ceiling": '"38 %"',
        "material": "[[material]]",
        "step": "[[step]]",
        "key": '"sand"',
        "role": '"sand"',
        "parts": "10",
        "dose": '"3 %"',
        "counts": '"solids"',
        "cap": '"10 %"',
        "cap_of": '"cement"',
        "cap_source": '"its label"',
        "tolerance": '"-0 % +4 %"',
        "solids": '"50 %"',
        "moisture": '"3 %"',
        "free_moisture": '"2.3 %"',
        "absorption": '"0.7 %"',
        "cement_share": '"42 %"',
        "binder_share": '"46 %"',
        "density": '"2650 kg/m3"',
        "pack": '"25 kg"',
        "price": '"18.50"',
        "film_forming": '"10 °C"',
        "add": '"water"',
        "share": '"80 %"',
        "release": '"water"',
        "by": '"5 %"',
        "mix": '"60 s to 90 s"',
        "speed": '"slow"',
        "scrape": '"sides and bottom"',
        "rest": '"3 min to 5 min"',
        "consistency": '"trowel"',
        "spread": '"200 mm to 250 mm"',
        "flow": '"95 % to 115 %"',
        "rings": '"2 to 4"',
        "temperature": "true",
        "split": '"face coat"',
        "fraction": '"25 %"',
        "say": '"Scrape to the very bottom."',
    }
)
"""What may be written for a key, as it would stand in the file."""

_EXAMPLES_IN_PLACE: Final[Mapping[tuple[str, str], str]] = MappingProxyType(
    {
        ("temperature", "least"): '"15 °C"',
        ("temperature", "most"): '"28 °C"',
        ("release", "mix"): '"25 s"',
        ("", "water"): "[water]",
    }
)


class Faults:
    """The faults of one file, the first 100 of them; more would be one slip seen many times."""

    def __init__(self, text: str, where: str, lines: Mapping[KeyPath, int]) -> None:
        """Start with none.

        Args:
            text: The file's text.
            where: Its path, as it was asked for.
            lines: See `mixstation.toml_lines.locate`.
        """
        self.found: list[FileFault] = []
        self._text, self._where, self._lines = text, where, lines

    @property
    def is_full(self) -> bool:
        """Whether further faults would be dropped."""
        return len(self.found) >= MAX_FAULT_COUNT

    def line(self, path: KeyPath) -> int:
        """Line of the path or of what encloses it; 0 where even its first part is missing."""
        return line_of(self._lines, path) if path[:1] in self._lines else 0

    def add(self, path: KeyPath, code: str, *, place: str = "", **values: str | int) -> None:
        """Note a fault.

        Args:
            path: The key it is about; a key that is missing is reported where its table begins.
            code: Kind of fault.
            place: The kind of step or table the key stands in, where an example depends on it.
            **values: For the sentence; "key" and "example" are added for the last key of the path.
        """
        if self.is_full:
            return
        name = next((part for part in reversed(path) if isinstance(part, str)), "")
        values = {"key": clean(name, 60), "example": example(name, place), **values}
        self.found.append(fault_at(self._text, self._where, self.line(path), code, **values))

    def add_unknown_key(self, path: KeyPath, allowed: Iterable[str]) -> None:
        """Note a key that has no place where it stands."""
        if self.is_full:
            return
        allowed = sorted(allowed)
        word = str(path[-1])
        near = suggestion(word, allowed) if len(word) <= _MAX_SUGGESTED_CHARACTER_COUNT else ""
        self.add(path, "unknown-key", suggestion=near, choices=", ".join(allowed))

    def add_step_kind_missing(self, path: KeyPath, table: Iterable[str], kinds: Iterable[str]) -> None:
        """Note a step without a key that says what is done, with the nearest to what it does have."""
        if self.is_full:
            return
        kinds = tuple(kinds)
        words = [word for word in table if len(word) <= _MAX_SUGGESTED_CHARACTER_COUNT][:5]
        near = next(filter(None, (suggestion(word, kinds) for word in words)), "")
        self.add(path, "step-kind-missing", suggestion=near, choices=", ".join(kinds))


def example(key: str, place: str = "") -> str:
    """What may be written for a key in a place; "" for a key that is not ours."""
    return _EXAMPLES_IN_PLACE.get((place, key), EXAMPLES.get(key, ""))
