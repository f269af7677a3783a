"""Names in a file that would be taken for each other."""

from collections.abc import Iterable

from mixstation.toml.table import Table
from mixstation.units.alike import alike


def note_twins(tables: Iterable[Table]) -> None:
    """Note every name that is, or looks like, one that stands before it, as "name-twice".

    Args:
        tables: Those of a repeated table, read; what has no name that could be read is passed over.
    """
    first: dict[str, Table] = {}
    for table in tables:
        name = table.values.get("name", "")
        before = first.setdefault(alike(name), table) if name else table
        if before is not table:
            other = before.values["name"]
            table.fault("name", "name-twice", found=name, other=other, first_line=before.line("name"))
