"""The core does no input or output and reads no clock: looked up in its syntax trees, where no linter sees it."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import mixstation

ROOT = Path(mixstation.__path__[0])
PACKAGES = ("batch", "proportion", "units", "plan")
CORE = [path for package in PACKAGES for path in sorted((ROOT / package).rglob("*.py"))]
CORE += [ROOT / "recipe" / f"{name}.py" for name in ("model", "proportions", "limits", "defaults")]
CALLED = {"open", "print", "input", "exec", "eval", "breakpoint", "__import__"}
# Modules that reach outside, or tell the time, or differ from run to run.
IMPORTED = {
    "asyncio",
    "io",
    "locale",
    "logging",
    "os",
    "pathlib",
    "random",
    "secrets",
    "shutil",
    "socket",
    "sqlite3",
    "subprocess",
    "sys",
    "tempfile",
    "threading",
    "time",
    "uuid",
}
METHODS = {"now", "utcnow", "today", "read_text", "write_text", "read_bytes", "write_bytes", "getenv"}


def faults(text: str) -> Iterator[str]:
    for node in ast.walk(ast.parse(text)):
        match node:
            case ast.Call(func=ast.Name(id=name)) if name in CALLED:
                yield f"{node.lineno}: {name}()"
            case ast.Call(func=ast.Attribute(attr=name)) if name in METHODS:
                yield f"{node.lineno}: .{name}()"
            case ast.Import(names=names):
                yield from (
                    f"{node.lineno}: import {n.name}" for n in names if n.name.partition(".")[0] in IMPORTED
                )
            case ast.ImportFrom(module=str(module)) if module.partition(".")[0] in IMPORTED:
                yield f"{node.lineno}: from {module}"
            case ast.Global() | ast.Nonlocal():
                yield f"{node.lineno}: global"
            case _:
                pass


def allowed(path: Path, fault: str) -> bool:
    """The solver speaks to file descriptor 1 by itself and must be silenced where it is called."""
    return path.name == "programme.py" and fault.partition(": ")[2] in ("import os", "import sys")


@pytest.mark.parametrize("path", CORE, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_no_input_no_output_no_clock(path: Path) -> None:
    assert not [fault for fault in faults(path.read_text("utf-8")) if not allowed(path, fault)]


@pytest.mark.parametrize(
    "line",
    [
        "open('x')",
        "print(1)",
        "input()",
        "import time",
        "from time import monotonic",
        "from datetime import datetime\ndatetime.now()",
        "import os.path",
        "from pathlib import Path",
        "Path('x').read_text()",
        "def f():\n    global x",
        "import random",
    ],
)
def test_each_of_these_would_be_found(line: str) -> None:
    assert list(faults(line))


def test_the_core_is_not_empty() -> None:
    assert len(CORE) > 60
