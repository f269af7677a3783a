"""Typed reading of one TOML table; faults are gathered, so that a file's mistakes are shown all together."""

from collections.abc import Collection, Mapping, Sequence
from typing import Any, Final

from mixstation.toml_lines import FileFault, KeyPath, fault_at, line_of, suggestion
from mixstation.units.errors import UnitsError
from mixstation.units.parse import parse_seconds

MAX_TEXT_LENGTH: Final = 200


class Document:
    """A parsed file with the lines of its keys and the faults found in it so far."""

    def __init__(self, path: str, text: str, lines: Mapping[KeyPath, int]) -> None:
        self.path, self.text, self.lines = path, text, lines
        self.faults: list[FileFault] = []

    def fault(self, path: KeyPath, code: str, **values: str | int) -> None:
        """Note a fault on the line of a key, or of what encloses it."""
        self.faults.append(fault_at(self.text, self.path, line_of(self.lines, path), code, **values))


class Table:
    """One table; each reading method takes a key off, notes what is wrong and gives a stand-in for it.

    Fault codes and their values, besides `key`: "key-missing" (example); "unknown-key" (suggestion, choices);
    "not-text", "not-latin", "not-whole", "not-true-or-false", "not-a-table", "not-tables" (found); "empty-text" ();
    "too-long", "too-many" (limit); "out-of-range" (found, least, most); "not-one-of" (found, suggestion, choices);
    "not-a-time" (found, reason, example).
    """

    def __init__(self, document: Document, content: Mapping[str, Any], path: KeyPath = ()) -> None:
        self.document, self.path = document, path
        self._given = frozenset(content)
        self._left = dict(content)
        self._known: set[str] = set()

    def fault(self, key: str, code: str, **values: str | int) -> None:
        """Note a fault of one of this table's keys."""
        self.document.fault((*self.path, key), code, key=self._name(key), **values)

    def has(self, key: str) -> bool:
        """Whether the key is there, read or not."""
        self._known.add(key)
        return key in self._given

    def text(
        self, key: str, *, example: str = "", longest: int = MAX_TEXT_LENGTH, may_be_empty: bool = False
    ) -> str:
        """A text of bytes as the scale sends them; without an example the key may be left out."""
        value = self._take(key, example)
        if value is None:
            return ""
        if not isinstance(value, str):
            self.fault(key, "not-text", found=str(value))
        elif len(value) > longest:
            self.fault(key, "too-long", limit=longest)
        elif not value and not may_be_empty:
            self.fault(key, "empty-text")
        else:
            return value
        return ""

    def line_bytes(self, key: str, *, example: str = "", longest: int = MAX_TEXT_LENGTH) -> bytes:
        """A text of characters up to U+00FF, one for each byte on the line."""
        value = self.text(key, example=example, longest=longest)
        try:
            return value.encode("latin-1")
        except UnicodeEncodeError:
            self.fault(key, "not-latin", found=value)
            return b""

    def whole(self, key: str, least: int, most: int, default: int | None = None) -> int:
        """A whole number within bounds; without a default the key must be there."""
        value = self._take(key, f"{key} = {least}" if default is None else "")
        if value is None:
            return least if default is None else default
        if type(value) is not int:
            self.fault(key, "not-whole", found=str(value))
        elif not least <= value <= most:
            self.fault(key, "out-of-range", found=value, least=least, most=most)
        else:
            return value
        return least

    def one_of(self, key: str, allowed: Sequence[str], default: str | None = None) -> str:
        """One of a few texts; without a default the key must be there. "" stands in for a wrong one."""
        value = self._take(key, f'{key} = "{allowed[0]}"' if default is None else "")
        if value is None:
            return default or ""
        if isinstance(value, str) and value in allowed:
            return value
        near = suggestion(str(value), allowed)
        self.fault(key, "not-one-of", found=str(value), choices=", ".join(allowed), suggestion=near)
        return ""

    def flag(self, key: str, *, default: bool) -> bool:
        """true or false."""
        value = self._take(key, "")
        if value is None or isinstance(value, bool):
            return default if value is None else value
        self.fault(key, "not-true-or-false", found=str(value))
        return default

    def seconds(self, key: str, *, example: str) -> float:
        """A length of time such as "0.2 s"."""
        value = self.text(key, example=example)
        try:
            return float(parse_seconds(value)) if value else 0.0
        except UnitsError as error:
            self.fault(key, "not-a-time", found=value, reason=error.code, example=example)
            return 0.0

    def table(self, key: str, *, example: str = "") -> "Table | None":
        """A table of its own, or None if it is not there."""
        value = self._take(key, example)
        if value is None or isinstance(value, dict):
            return None if value is None else Table(self.document, value, (*self.path, key))
        self.fault(key, "not-a-table", found=str(value))
        return None

    def tables(self, key: str, *, example: str, most: int) -> list["Table"]:
        """A list of tables, at least one."""
        value = self._take(key, example)
        if value is None:
            return []
        if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            self.fault(key, "not-tables", found=str(value))
            return []
        if len(value) > most:
            self.fault(key, "too-many", limit=most)
        return [Table(self.document, item, (*self.path, key, n)) for n, item in enumerate(value[:most])]

    def keys(self) -> list[str]:
        """The keys not read yet, for tables whose keys are data."""
        return list(self._left)

    def close(self, also: Collection[str] = ()) -> None:
        """Fault every key that was not read; `also` names keys to suggest besides those asked for."""
        known = sorted(self._known.union(also))
        for key in self._left:
            near = suggestion(key, known)
            self.fault(key, "unknown-key", suggestion=near, choices=", ".join(known))

    def _name(self, key: str) -> str:
        name = ""
        for part in (*self.path, key):
            name += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if name else part
        return name

    def _take(self, key: str, example: str) -> Any:
        self._known.add(key)
        value = self._left.pop(key, None)
        if value is None and example:
            self.fault(key, "key-missing", example=example)
        return value
