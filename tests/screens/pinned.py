"""Looks kept from our own output: they only guard against change. `REPIN=1` writes them anew."""

import os
from pathlib import Path

FOLDER = Path(__file__).parents[1] / "pinned"


def pinned(name: str, text: str) -> None:
    """Compare a text with the one kept under `name`."""
    path = FOLDER / name
    if os.environ.get("REPIN") == "1":
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    assert text == path.read_text(encoding="utf-8"), f"{name} looks different; REPIN=1 keeps the new look"
