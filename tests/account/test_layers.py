"""The account stands on the words and the batch, and knows no station, screen or command."""

import ast
from pathlib import Path

import mixstation.account

ABOVE = ("station", "screens", "lines", "cli")


def test_it_imports_only_from_below() -> None:
    modules = sorted(Path(mixstation.account.__file__).parent.glob("*.py"))
    imported = {
        node.module
        for module in modules
        for node in ast.walk(ast.parse(module.read_text("utf-8")))
        if isinstance(node, ast.ImportFrom) and node.module
    }
    assert "mixstation.wording.entry_lines" in imported
    assert [name for name in imported if name.split(".")[1:2] and name.split(".")[1] in ABOVE] == []
