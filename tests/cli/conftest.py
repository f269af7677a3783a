"""A home of its own with a quick recipe beside it, and the program talked with there."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.cli.conversation import Conversation
from tests.station.recipes import BRISK

Talk = Callable[..., Conversation]


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The home, of this process too; the recipe is beside it."""
    (tmp_path / "sill_cap.toml").write_text(BRISK, encoding="utf-8")
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.fixture
def talk(shop: Path) -> Iterator[Talk]:
    begun: list[Conversation] = []

    def talking(*words: str, at: Path = shop) -> Conversation:
        begun.append(Conversation(at, *words))
        return begun[-1]

    yield talking
    for conversation in begun:
        conversation.close()
