"""Reading a recipe file."""

import hashlib
from dataclasses import replace
from pathlib import Path

from mixstation.frozen import Frozen
from mixstation.recipe.faults import KeyTwice, PackFigureNotOfPowder
from mixstation.recipe.limits import LimitWarning, published_limits
from mixstation.recipe.materials import check_materials, check_order, material_of
from mixstation.recipe.model import Basis, Material, Recipe, Role, Step, WaterRule
from mixstation.recipe.proportions import ScalingError, Unscalable, whole_totals
from mixstation.recipe.steps import Known, read_steps
from mixstation.recipe.written import HEAD, MATERIAL, WATER, read_step
from mixstation.toml.faults_of_files import NoText, OverLimit
from mixstation.toml.lines import (
    MAX_FILE_BYTE_COUNT,
    FileRefused,
    check_line_lengths,
    fault_at,
    read_text_file,
)
from mixstation.toml.table import Table, file_table, note_twins
from mixstation.units.clean import clean


class LoadedRecipe(Frozen):
    """A recipe with the file it came from.

    Attributes:
        text: The file's text, line ends as `\\n`.
        hash: SHA-256 of that text in UTF-8, hex.
        warnings: Where it leaves published limits.
    """

    recipe: Recipe
    text: str
    hash: str
    warnings: tuple[LimitWarning, ...]


def load_recipe(path: str | Path) -> LoadedRecipe:
    """Read a recipe file.

    Args:
        path: See `mixstation.toml.lines.read_text_file`. Its stem becomes the recipe's key.

    Raises:
        FileRefused: All that is wrong with it.
    """
    return read_recipe(read_text_file(path), str(path))


def read_recipe(text: str, where: str) -> LoadedRecipe:
    """Read a recipe from text, such as the one a batch record holds.

    Args:
        where: Path to name in faults; its stem becomes the recipe's key.

    Raises:
        FileRefused: All that is wrong with it.
    """
    data = _checked(text, where)
    recipe = _recipe(file_table(text, where), clean(Path(where).stem, 100))
    return LoadedRecipe(
        recipe=recipe, text=text, hash=hashlib.sha256(data).hexdigest(), warnings=published_limits(recipe)
    )


def _checked(text: str, where: str) -> bytes:
    """The text as bytes, refused for what no readable file can hold."""
    try:
        data = text.encode()
    except UnicodeEncodeError as error:
        line = text.count("\n", 0, error.start) + 1
        raise FileRefused([fault_at(text, where, line, NoText.NOT_UTF8)]) from None
    if len(data) > MAX_FILE_BYTE_COUNT:
        over = OverLimit(code="file-too-large", limit_count=MAX_FILE_BYTE_COUNT)
        raise FileRefused([fault_at(text, where, 0, over)])
    check_line_lengths(text, where)
    return data


def _recipe(top: Table, key: str) -> Recipe:
    head = top.read(HEAD)
    water = _water(head["water"]) if "water" in head else None
    materials, known = _materials(top, water)
    steps = _steps(top, known)
    if not top.is_sound or water is None:
        raise top.refusal()
    recipe = Recipe(
        key=key,
        name=head["name"],
        revision=head["revision"],
        note=head.get("note", ""),
        water=water,
        materials=materials,
        steps=steps,
        air_fraction=head["air"],
        working_min=round(head["working_time"] / 60),
        currency=head.get("currency", ""),
        strip_min=round(head["strip"] / 60) if "strip" in head else None,
        seal_min=round(head["seal"] / 60) if "seal" in head else None,
    )
    try:
        whole_totals(recipe, 1)
    except ScalingError as error:
        why = error.why
        carried = why is Unscalable.WATER_ALL_CARRIED
        table, at = (head["water"], "target") if carried else (top, "material")
        table.fault(at, why)
        raise top.refusal() from None
    return recipe


def _water(table: Table) -> WaterRule | None:
    values = table.read(WATER)
    if not table.is_sound:
        return None
    band = {key: values[key] for key in ("least", "target", "most", "ceiling")}
    check_order(table, *band)
    if values["of"] != Basis.POWDER:
        for key in band:
            if " per " in table.content[key]:
                table.fault(key, PackFigureNotOfPowder(basis=values["of"]))
    return WaterRule(of=Basis(values["of"]), **band)


def _materials(top: Table, water: WaterRule | None) -> tuple[tuple[Material, ...], Known]:
    tables: list[Table] = top.values.get("material", [])
    read: list[tuple[Table, Material]] = []
    roles: dict[str, Role | None] = {}
    places: dict[str, Table] = {}
    for table in tables:
        table.read(MATERIAL)
        material = material_of(table, has_currency="currency" in top.content)
        name = table.content.get("key")
        if not isinstance(name, str):
            continue
        if name in places:
            table.fault("key", KeyTwice(found=name, first_line=places[name].line("key")))
            continue
        places[name] = table
        roles[name] = material.role if material else None
        if material:
            read.append((table, material))
    is_whole = bool(tables) and len(read) == len(top.content["material"])
    check_materials(read, top, water, is_whole=is_whole)
    note_twins(table for table, _ in read)
    materials = tuple(material for _, material in read)
    return materials, Known(
        roles=roles,
        places=places,
        has_nameless=any(not isinstance(table.content.get("key"), str) for table in tables),
        undosed=frozenset(m.key for m in materials if m.role is Role.ICE and m.dose is None),
        is_whole=is_whole,
    )


def _steps(top: Table, known: Known) -> tuple[Step, ...]:
    tables: list[Table] = top.values.get("step", [])
    read = [(kind, table) for table in tables if (kind := read_step(table)) and table.is_sound]
    is_whole = known.is_whole and bool(tables) and len(read) == len(top.content["step"])
    return read_steps(read, replace(known, is_whole=is_whole))
