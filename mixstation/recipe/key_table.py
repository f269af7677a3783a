"""Tables of a file read key by key from a table of keys: each value, each missing and each unknown key on its line."""

from collections.abc import Callable, Mapping
from typing import Any

from mixstation.frozen import dataclass
from mixstation.recipe.faults import Faults
from mixstation.recipe.quantities import QuantityError
from mixstation.toml_lines import KeyPath


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """A key of a table.

    Attributes:
        read: Reads its value; raises `QuantityError`.
        example: What may be written, as it would stand in the file.
        optional: It may be left out.
    """

    read: Callable[[object], Any]
    example: str
    optional: bool = False


def read_keys(
    table: Mapping[str, Any],
    at: KeyPath,
    keys: Mapping[str, Key],
    faults: Faults,
    *,
    nested: frozenset[str] = frozenset(),
    ignore_rest: bool = False,
) -> dict[str, Any]:
    """Read one table, noting all that is wrong with it.

    Args:
        table: As parsed.
        at: Where it stands.
        keys: What it may hold.
        faults: Where to note faults.
        nested: Keys of tables inside it, read elsewhere.
        ignore_rest: Say nothing of unknown keys.

    Returns:
        What could be read, by key.
    """
    values = {}
    for name, key in keys.items():
        if name not in table:
            if not key.optional:
                faults.add((*at, name), "key-missing", example=key.example)
            continue
        try:
            values[name] = key.read(table[name])
        except QuantityError as error:
            faults.add((*at, name), error.code, example=key.example, **error.values)
    for name in () if ignore_rest else table.keys() - keys.keys() - nested:
        faults.add_unknown_key((*at, name), [*keys, *nested])
    return values


def tables_of(
    holder: Mapping[str, Any], at: KeyPath, key: str, limit: int, faults: Faults
) -> list[dict[str, Any]]:
    """The tables of a repeated table; none where they are too many or no tables at all.

    Args:
        holder: The table they stand in.
        at: Where that stands.
        key: Their key.
        limit: How many there may be.
        faults: Where to note faults.

    Returns:
        In the order of the file.
    """
    found = holder.get(key, [])
    if not isinstance(found, list) or not all(isinstance(table, dict) for table in found):
        head = ".".join([*(part for part in at if isinstance(part, str)), key])
        faults.add((*at, key), "not-tables", example=f"[[{head}]]")
        return []
    if len(found) > limit:
        faults.add((*at, key), "too-many", count=str(len(found)), limit=str(limit))
        return []
    return found
