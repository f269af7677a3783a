"""What an import brings with it, in a fresh interpreter: the core brings the standard library alone."""

import subprocess
import sys
from pathlib import Path

import pytest

import mixstation

ROOT = Path(mixstation.__path__[0])
# Loaded where they are used and not before: each costs a good part of the time to the first picture.
HEAVY = {"textual", "pydantic", "pint", "serial", "highspy", "numpy", "scipy", "platformdirs"}
# Of the standard library: storage, threads and the network have no place in the core.
OUTSIDE = {"sqlite3", "threading", "asyncio", "socket", "subprocess", "multiprocessing", "select"}
CORE = ("units", "proportion", "batch")
NOT_LOADED_BY_CLI = {"textual", "pydantic", "pint", "highspy", "numpy", "scipy"}


def modules_of(package: str) -> list[str]:
    """All modules of a package, folders in it included."""
    found = sorted((ROOT / package).rglob("*.py"))
    names = [path.relative_to(ROOT.parent).with_suffix("").as_posix().replace("/", ".") for path in found]
    return [name.removesuffix(".__init__") for name in names if not name.endswith("__main__")]


def loaded_by(*modules: str) -> set[str]:
    """Names in `sys.modules` after importing them, less those of a bare interpreter."""
    program = f"import sys; before = set(sys.modules); import {', '.join(modules)}; print(*set(sys.modules) - before)"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    return set(done.stdout.split())


def packages(names: set[str]) -> set[str]:
    return {name.partition(".")[0] for name in names}


@pytest.mark.parametrize("package", CORE)
def test_the_core_stands_on_the_standard_library_alone(package: str) -> None:
    brought = packages(loaded_by(*modules_of(package)))
    assert brought - sys.stdlib_module_names == {"mixstation"}
    assert not brought & (HEAVY | OUTSIDE)


def test_the_recipe_model_and_the_shapes_do_too() -> None:
    modules = [
        "mixstation.recipe.model",
        "mixstation.recipe.proportions",
        *(f"mixstation.plan.{name}" for name in ("shapes", "corners", "pieces", "views", "drawing")),
    ]
    brought = packages(loaded_by(*modules))
    assert brought - sys.stdlib_module_names == {"mixstation"}
    assert not brought & HEAVY


def test_the_core_is_all_there_is_of_its_kind() -> None:
    """The lists above name packages that exist, so that a renamed one does not go untested."""
    assert all((ROOT / package / "__init__.py").is_file() for package in CORE)
    assert len(modules_of("batch")) > 20


@pytest.mark.parametrize("module", ["mixstation", "mixstation.cli", "mixstation.cli.main"])
def test_a_command_starts_light(module: str) -> None:
    brought = packages(loaded_by(module))
    assert not brought & NOT_LOADED_BY_CLI


def test_the_name_alone_brings_nothing() -> None:
    assert loaded_by("mixstation") == {"mixstation"}


def test_each_module_of_the_core_can_be_the_first() -> None:
    """No module leans on another having been imported before it."""
    modules = [name for package in CORE for name in modules_of(package)]
    program = (
        "import importlib, sys\n"
        f"for name in {modules!r}:\n"
        "    for loaded in [each for each in sys.modules if each.startswith('mixstation')]:\n"
        "        del sys.modules[loaded]\n"
        "    importlib.import_module(name)\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
