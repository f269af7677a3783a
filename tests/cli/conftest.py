"""A home of its own with a quick recipe beside it, and the program talked with there."""

from collections.abc import Callable, Iterator
from pathlib import Path
from unittest.mock import patch

import pytest

import mixstation.cli.mix
import mixstation.cli.plan
import mixstation.cli.resume
from tests.cli.conversation import Conversation
from tests.cli.front import Front
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


@pytest.fixture
def front() -> Iterator[Front]:
    front = Front()
    with (
        patch.object(mixstation.cli.mix, "show", front),
        patch.object(mixstation.cli.resume, "show", front),
        patch.object(mixstation.cli.plan, "show", front),
    ):
        yield front
    if front.desk is not None:
        front.desk.stop()
