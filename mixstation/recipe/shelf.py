"""Which recipes there are: those that come with the program, and the user's own, which win."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Literal

from mixstation.folders import home_config, shipped_folder
from mixstation.frozen import Frozen
from mixstation.recipe.faults import RecipeTwice
from mixstation.toml.lines import FileFault, FileRefused, suggestion
from mixstation.units.alike import alike
from mixstation.units.clean import clean

MAX_RECIPE_COUNT = 500
"""Of one folder; more is not a recipe shelf.

Source: Choice: each is read when listed.
"""


class ShelfEntry(Frozen):
    """One recipe on the shelf.

    Attributes:
        key: Stem of its file, cleaned; what a person types to have it.
        name: As written in the recipe; the key where the file is faulty.
        origin: "own" from the user's folder, "shipped" with the program.
        faults: What is wrong with it; empty where it can be used.
    """

    key: str
    name: str
    path: Path
    origin: Literal["own", "shipped"]
    faults: tuple[FileFault, ...] = ()


class RecipeNotFound(LookupError):  # noqa: N818 - what was not found, in the words of the shelf
    """No recipe of that name, and no file.

    Attributes:
        suggestion: The nearest name on the shelf, or "".
        known: All names on the shelf, in order.
    """

    def __init__(self, asked: str, known: tuple[str, ...]) -> None:
        """Keep what was asked for and what there is."""
        self.asked, self.known = clean(asked, 100), known
        self.suggestion = suggestion(asked[:100].lower(), known)
        super().__init__(self.asked)


def own_folder() -> Path:
    """Folder of the user's own recipes; it need not exist. Source: Definition."""
    return home_config() / "recipes"


def list_recipes() -> tuple[ShelfEntry, ...]:
    """Every recipe on the shelf, read to the end, in the order of the keys; faulty ones with their faults.

    Source: Choice: an own recipe hides a shipped one of the same stem.
    """
    # Here, not above: a program that only looks for one recipe need not load what reads it.
    from mixstation.recipe.file import load_recipe

    entries: list[ShelfEntry] = []
    files = _files()
    for stem, (path, origin) in sorted(files.items()):
        key = clean(stem, 100)
        twins = _twins(stem, files)
        if len(twins) > 1:
            fault = FileFault(path=str(path), told=RecipeTwice(others=_paths(twins, path)))
            entries.append(ShelfEntry(key=key, name=key, path=path, origin=origin, faults=(fault,)))
            continue
        try:
            name = load_recipe(path).recipe.name
            entries.append(ShelfEntry(key=key, name=name, path=path, origin=origin))
        except FileRefused as refusal:
            entries.append(ShelfEntry(key=key, name=key, path=path, origin=origin, faults=refusal.faults))
    return tuple(entries)


def find_recipe(name_or_path: str) -> Path:
    """The file of a recipe.

    Args:
        name_or_path: A key on the shelf, in any case, spaces or "-" for "_"; or a path.

    Returns:
        Its path, not yet read.

    Raises:
        FileRefused: "recipe-twice": several files on the shelf are of names that look like this one.
        RecipeNotFound: Neither the shelf nor the disk has it.

    Source: Choice: what looks like a path is one; a plain name is looked for on the shelf first, so that a folder
        that happens to have it hides nothing.
    """
    files = _files()
    looks_like_path = name_or_path.endswith(".toml") or "/" in name_or_path or "\\" in name_or_path
    if looks_like_path and _is_file(name_or_path):
        return Path(name_or_path)
    twins = _twins(name_or_path, files)
    if len(twins) > 1:
        told = RecipeTwice(others=_paths(twins, twins[0]))
        raise FileRefused([FileFault(path=str(twins[0]), told=told)])
    if twins:
        return twins[0]
    if _is_file(name_or_path):
        return Path(name_or_path)
    raise RecipeNotFound(name_or_path, tuple(sorted(clean(stem, 100) for stem in files)))


def _is_file(path: str) -> bool:
    try:
        return Path(path).exists() and not Path(path).is_dir()
    except (OSError, ValueError):
        # A name that no file can have.
        return False


def _twins(name: str, files: Mapping[str, tuple[Path, str]]) -> list[Path]:
    """The files whose names look like this one."""
    wanted = _plain(name)
    return [path for stem, (path, _) in sorted(files.items()) if _plain(stem) == wanted]


def _paths(twins: list[Path], but: Path) -> str:
    return ", ".join(str(path) for path in twins if path != but)


def _plain(name: str) -> str:
    return alike(name.strip().removesuffix(".toml").replace(" ", "_").replace("-", "_"))


def _files() -> dict[str, tuple[Path, Literal["own", "shipped"]]]:
    files: dict[str, tuple[Path, Literal["own", "shipped"]]] = {}
    for path in _toml_files(shipped_folder("recipes")):
        files[path.stem] = (path, "shipped")
    for path in _toml_files(own_folder()):
        files[path.stem] = (path, "own")
    return files


def _toml_files(folder: Path) -> Iterator[Path]:
    try:
        paths = sorted(path for path in folder.iterdir() if path.suffix == ".toml")
    except OSError:
        # A folder that is not there, or may not be read, holds no recipes.
        return
    yield from paths[:MAX_RECIPE_COUNT]
