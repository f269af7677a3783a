"""Reading a recipe file. Import this only where a file is read: it brings pydantic, which is slow to start."""

import hashlib
from dataclasses import replace
from pathlib import Path
from typing import Any

from mixstation.frozen import dataclass
from mixstation.recipe.faults import Faults
from mixstation.recipe.limits import LimitWarning, published_limits
from mixstation.recipe.materials import check_materials, check_order, material_of
from mixstation.recipe.model import Basis, Material, Recipe, Role, Step, WaterRule
from mixstation.recipe.proportions import ScalingError, whole_totals
from mixstation.recipe.steps import AnyStepTable, Known, read_steps
from mixstation.recipe.written import (
    MAX_MATERIAL_COUNT,
    MAX_STEP_COUNT,
    Head,
    MaterialTable,
    WaterTable,
    read_step_table,
    read_table,
)
from mixstation.toml_lines import (
    MAX_FILE_BYTE_COUNT,
    MAX_LINE_CHARACTER_COUNT,
    FileRefused,
    KeyPath,
    fault_at,
    parse_toml,
    read_text_file,
)
from mixstation.units.clean import clean

TABLE_KEYS = ("water", "material", "step")


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadedRecipe:
    """A recipe with the file it came from.

    Attributes:
        recipe: The recipe.
        text: The file's text, line ends as `\\n`.
        hash: SHA-256 of that text in UTF-8, hex.
        warnings: Where it leaves published limits.
    """

    recipe: Recipe
    text: str
    hash: str
    warnings: tuple[LimitWarning, ...]


class RecipeFaults(FileRefused):
    """A recipe file cannot be used; `faults` says why, all together, in line order."""


def load_recipe(path: str | Path) -> LoadedRecipe:
    """Read a recipe file.

    Args:
        path: See `mixstation.toml_lines.read_text_file`. Its stem becomes the recipe's key.

    Returns:
        The recipe.

    Raises:
        RecipeFaults: All that is wrong with it.
    """
    try:
        text = read_text_file(path)
    except FileRefused as refusal:
        raise RecipeFaults(refusal.faults) from None
    return read_recipe(text, str(path))


def read_recipe(text: str, where: str) -> LoadedRecipe:
    """Read a recipe from text, such as the one a batch record holds.

    Args:
        text: What a recipe file holds.
        where: Path to name in faults; its stem becomes the recipe's key.

    Returns:
        The recipe.

    Raises:
        RecipeFaults: All that is wrong with it.
    """
    try:
        data = _checked(text, where)
        document, lines = parse_toml(text, where)
    except FileRefused as refusal:
        raise RecipeFaults(refusal.faults) from None
    faults = Faults(text, where, lines)
    recipe = _recipe(document, clean(Path(where).stem, 100), faults)
    if recipe is None:
        raise RecipeFaults(faults.found)
    return LoadedRecipe(
        recipe=recipe, text=text, hash=hashlib.sha256(data).hexdigest(), warnings=published_limits(recipe)
    )


def _checked(text: str, where: str) -> bytes:
    """The text as bytes, refused for what no readable file can hold."""
    try:
        data = text.encode()
    except UnicodeEncodeError as error:
        line = text.count("\n", 0, error.start) + 1
        raise FileRefused([fault_at(text, where, line, "not-utf8")]) from None
    if len(data) > MAX_FILE_BYTE_COUNT:
        raise FileRefused([fault_at(text, where, 0, "file-too-large", limit_byte_count=MAX_FILE_BYTE_COUNT)])
    limit = MAX_LINE_CHARACTER_COUNT
    for number, line_text in enumerate(text.split("\n"), start=1):
        if len(line_text) > limit:
            fault = fault_at(text, where, number, "line-too-long", limit_character_count=limit)
            raise FileRefused([replace(fault, line_text=line_text[:limit])])
    return data


def _recipe(document: dict[str, Any], key: str, faults: Faults) -> Recipe | None:
    """The recipe; None where anything was wrong."""
    head = read_table(Head, {k: v for k, v in document.items() if k not in TABLE_KEYS}, (), faults)
    water = _water(document, faults)
    materials, known = _materials(document, bool(document.get("currency")), water, faults)
    steps = _steps(document, known, faults)
    if faults.found or head is None or water is None:
        return None
    recipe = Recipe(
        key=key,
        name=head.name,
        revision=head.revision,
        note=head.note,
        water=water,
        materials=materials,
        steps=steps,
        air_fraction=head.air,
        working_min=round(head.working_time / 60),
        currency=head.currency,
    )
    try:
        whole_totals(recipe, 1)
    except ScalingError as error:
        at: KeyPath = ("water", "target") if error.code == "water-all-carried" else ("material",)
        faults.add(at, error.code, **error.values)
        return None
    return recipe


def _water(document: dict[str, Any], faults: Faults) -> WaterRule | None:
    table = document.get("water")
    path: KeyPath = ("water",)
    if not isinstance(table, dict):
        faults.add(path, "key-missing" if table is None else "not-a-table")
        return None
    water = read_table(WaterTable, table, path, faults)
    if water is None:
        return None
    band = {key: getattr(water, key) for key in ("least", "target", "most", "ceiling")}
    check_order(band, table, path, faults)
    if water.of != Basis.POWDER:
        for key in band:
            if " per " in table[key]:
                faults.add((*path, key), "pack-figure-not-of-powder", basis=water.of)
    return WaterRule(of=Basis(water.of), **band)


def _materials(
    document: dict[str, Any], has_currency: bool, water: WaterRule | None, faults: Faults
) -> tuple[tuple[Material, ...], Known]:
    tables = _tables(document, "material", MAX_MATERIAL_COUNT, faults)
    read: list[tuple[KeyPath, Material]] = []
    roles: dict[str, Role | None] = {}
    places: dict[str, KeyPath] = {}
    for path, raw in tables:
        table = read_table(MaterialTable, raw, path, faults)
        material = material_of(table, raw, path, has_currency, faults) if table else None
        name = raw.get("key")
        if not isinstance(name, str):
            continue
        if name in places:
            faults.add(
                (*path, "key"), "key-twice", found=name, first_line=faults.line((*places[name], "key"))
            )
            continue
        places[name] = path
        roles[name] = material.role if material else None
        if material:
            read.append((path, material))
    is_whole = bool(tables) and len(read) == len(document["material"])
    check_materials(read, water, is_whole, faults)
    materials = tuple(material for _, material in read)
    undosed = frozenset(m.key for m in materials if m.role is Role.ICE and m.dose is None)
    has_nameless = any(not isinstance(raw.get("key"), str) for _, raw in tables)
    return materials, Known(
        roles=roles, places=places, has_nameless=has_nameless, undosed=undosed, is_whole=is_whole
    )


def _steps(document: dict[str, Any], known: Known, faults: Faults) -> tuple[Step, ...]:
    tables = _tables(document, "step", MAX_STEP_COUNT, faults)
    read: list[tuple[KeyPath, AnyStepTable, dict[str, Any]]] = []
    for path, raw in tables:
        table = read_step_table(raw, path, faults)
        if table:
            read.append((path, table, raw))
    is_whole = known.is_whole and bool(tables) and len(read) == len(document["step"])
    return read_steps(read, replace(known, is_whole=is_whole), faults)


def _tables(
    document: dict[str, Any], key: str, limit: int, faults: Faults
) -> list[tuple[KeyPath, dict[str, Any]]]:
    """The tables of a repeated table, each with its place; not more than the limit."""
    items = document.get(key)
    if items is None or items == []:
        faults.add((key,), "key-missing")
        return []
    if not isinstance(items, list):
        faults.add((key,), "not-tables")
        return []
    if len(items) > limit:
        faults.add((key, limit), "too-many", count=str(len(items)), limit=str(limit))
    for index, item in enumerate(items[:limit]):
        if not isinstance(item, dict):
            faults.add((key, index), "not-tables")
    return [((key, index), item) for index, item in enumerate(items[:limit]) if isinstance(item, dict)]
