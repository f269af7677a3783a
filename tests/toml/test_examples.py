"""What the program tells people to write can be read: every key of every file, by its own reader."""

import tomllib
from collections.abc import Iterator, Mapping
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

import mixstation
from mixstation.scale.field_file import FIELD_KEYS, read_field
from mixstation.toml.faults import Faults
from mixstation.toml.table import Key, Table, TableKey, file_table

ROOT = Path(mixstation.__file__).parent


def _keys_in(value: object) -> Iterator[tuple[str, Key | TableKey]]:
    """Keys by name, in tables of keys, in tables of those, and beside the class that is made of them."""
    if isinstance(value, Mapping):
        for name, inner in value.items():
            if isinstance(inner, Key | TableKey):
                yield str(name), inner
            else:
                yield from _keys_in(inner)
    elif isinstance(value, tuple):
        for inner in value:
            yield from _keys_in(inner)


def _of_all_files() -> dict[tuple[str, str, str], Key | TableKey]:
    found: dict[tuple[str, str, str], Key | TableKey] = {}
    for path in sorted(ROOT.rglob("*.py")):
        if "Key(" in path.read_text("utf-8"):
            name = path.relative_to(ROOT.parent).with_suffix("").as_posix().replace("/", ".")
            for value in vars(import_module(name)).values():
                found |= {(name, key, each.example): each for key, each in _keys_in(value)}
    return found


KEYS = _of_all_files()
SINGLE = {place: key for place, key in KEYS.items() if isinstance(key, Key)}
TABLES = {place: key for place, key in KEYS.items() if isinstance(key, TableKey)}


def test_the_keys_of_every_file_are_here() -> None:
    """One of each file people write: recipes, profiles with fields and samples, settings with shop, pieces."""
    names = {module.removeprefix("mixstation.") for module, _, _ in KEYS}
    assert {"recipe.written", "scale.profile_file", "scale.field_file"} <= names
    assert {"cli.settings_file", "plan.piece_file"} <= names
    assert len(SINGLE) > 90
    assert len(TABLES) > 12


def _written(key: str, example: str) -> Any:
    """The value in a file where it stands as a hint says."""
    return tomllib.loads(f"{key} = {example}")[key]


@pytest.mark.parametrize("place", sorted(SINGLE), ids=" ".join)
def test_what_may_be_written_for_a_key_is_read(place: tuple[str, str, str]) -> None:
    _, name, example = place
    SINGLE[place].read(_written("key" if name.isspace() else name, example))


@pytest.mark.parametrize("place", sorted(TABLES), ids=" ".join)
def test_what_may_be_written_for_a_table_is_one(place: tuple[str, str, str]) -> None:
    _, name, example = place
    content = tomllib.loads(example)
    while name not in content:
        # A table in a table is written with both names.
        (content,) = content.values()
    table = Table(content, Faults(example, "example.toml", {}))
    values = table.read({name: TABLES[place]})
    assert table.is_sound
    assert isinstance(values[name], list if TABLES[place].limit_count else Table)


@pytest.mark.parametrize("kind", FIELD_KEYS)
def test_a_field_of_each_kind_as_hints_have_it_is_read(kind: str) -> None:
    lines = [f'kind = "{kind}"']
    for name, key in FIELD_KEYS[kind].items():
        lines.append(key.example if isinstance(key, TableKey) else f"{name} = {key.example}")
    assert read_field(file_table("\n".join(lines), "field.toml"), is_text=True) is not None


def test_an_example_that_cannot_be_read_would_be_found() -> None:
    from mixstation.toml.quantities import QuantityError, air

    with pytest.raises(QuantityError):
        Key(read=air, example='"50 %"').read(_written("air", '"50 %"'))
