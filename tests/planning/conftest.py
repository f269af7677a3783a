"""A home without settings, recipes or stock of the person who runs the tests."""

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path / "home"))
    return tmp_path / "home"
