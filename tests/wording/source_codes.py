"""Codes found by reading the source: every place that makes a fault or an error with a literal code."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import mixstation

PACKAGE = Path(mixstation.__file__).parent


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """One place where a code is given.

    Attributes:
        place: File and line.
        code: The code.
        names: Names of the values that go with it.
        is_whole: Whether these are all; False where values are handed on from elsewhere.
    """

    place: str
    code: str
    names: frozenset[str]
    is_whole: bool


def made_in(files: Iterator[Path] | list[Path], calls: dict[str, int | str]) -> list[Made]:
    """Every literal code given to one of some calls.

    Args:
        files: What to read.
        calls: Name of the function, method or class, and where the code stands among its arguments: a place or a
            keyword.
    """
    return [made for file in files for made in _in_file(file, calls)]


@cache
def _calls_of(file: Path) -> tuple[ast.Call, ...]:
    return tuple(node for node in ast.walk(ast.parse(file.read_text("utf-8"))) if isinstance(node, ast.Call))


def _in_file(file: Path, calls: dict[str, int | str]) -> Iterator[Made]:
    for node in _calls_of(file):
        name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        if name not in calls:
            continue
        where = calls[name]
        given = {word.arg: word.value for word in node.keywords if word.arg}
        code = given.get(where) if isinstance(where, str) else dict(enumerate(node.args)).get(where)
        for text in _texts(code):
            yield Made(
                place=f"{file.relative_to(PACKAGE)}:{node.lineno}",
                code=text,
                names=frozenset(given),
                is_whole=all(word.arg for word in node.keywords) and "values" not in given,
            )


def _texts(node: ast.expr | None) -> list[str]:
    """The texts an expression can be, where it is a text or a choice between texts."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return [node.value]
    if isinstance(node, ast.IfExp):
        return [*_texts(node.body), *_texts(node.orelse)]
    return []


def modules(*places: str) -> list[Path]:
    """Source files: a folder's own, or one file."""
    found: list[Path] = []
    for place in places:
        path = PACKAGE / place
        found += sorted(path.glob("*.py")) if path.is_dir() else [path]
    return found
