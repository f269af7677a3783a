"""Names in a file that would be taken for each other."""

from collections.abc import Iterable

from mixstation.recipe.faults import Faults
from mixstation.toml_lines import KeyPath
from mixstation.units.alike import alike


def note_twins(names: Iterable[tuple[KeyPath, str]], faults: Faults) -> None:
    """Note every name that is, or looks like, one that stands before it.

    Args:
        names: Each with the place of its key.
        faults: Where to note them, as "name-twice".
    """
    first: dict[str, tuple[KeyPath, str]] = {}
    for path, name in names:
        before, other = first.setdefault(alike(name), (path, name))
        if before != path:
            faults.add(path, "name-twice", found=name, other=other, first_line=faults.line(before))
