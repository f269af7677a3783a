"""Text from outside never goes through markup: nothing in the screen may parse any."""

import ast
from pathlib import Path

import pytest

import mixstation.screens

FILES = sorted(Path(mixstation.screens.__file__).parent.glob("*.py"))
# Everything of the libraries that reads markup, or shows text that was given to it as markup by default.
FORBIDDEN = {
    "Button",
    "Header",
    "Footer",
    "Input",
    "Label",
    "Markdown",
    "RichLog",
    "Static",
    "Text",
    "Toast",
    "escape",
    "from_markup",
    "markup",
    "notify",
    "render_markup",
    "to_content",
}


def marked(source: str) -> list[str]:
    """Names in a source that read markup, and every `markup=` that is not False."""
    found = []
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Name(id=name) | ast.Attribute(attr=name) | ast.alias(name=name) if name in FORBIDDEN:
                found.append(name)
            case ast.ImportFrom(module=str(module)) if module.endswith("markup") or ".widgets" in module:
                found.append(module)
            case ast.keyword(arg="markup", value=value) if not (
                isinstance(value, ast.Constant) and value.value is False
            ):
                found.append("markup=")
    return found


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_no_markup(path: Path) -> None:
    assert marked(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    "source",
    [
        "from textual.widgets import Static",
        "widget = Static(name)",
        "content = Content.from_markup(text)",
        "show(text, markup=True)",
        "show(text, markup=flag)",
        "app.notify(text)",
        "from rich.markup import escape",
    ],
)
def test_the_check_finds_markup(source: str) -> None:
    assert marked(source)


def test_plain_text_is_allowed() -> None:
    assert marked("show(text, markup=False)\nSegment(text, style)") == []
