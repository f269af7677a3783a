"""Every batch of the ledger comes to what was kept of it, command by command."""

import json

import pytest

from tests.depth import first
from tests.figures import batches
from tests.figures.bench import DIGITS, SECTIONS
from tests.figures.compared import digest, kept

KEPT = kept(batches.FILE)


def test_every_batch_is_kept() -> None:
    assert list(KEPT) == list(batches.cases())


@pytest.mark.parametrize("name", first(20, batches.cases(), pytest.mark.pinned))
def test_a_batch_comes_to_what_was_kept(name: str) -> None:
    player = batches.played(name)
    for place, (before, now) in enumerate(zip(KEPT[name], player.lines, strict=False)):
        assert before == now, _told(before, player.kept[place][1])
    assert len(player.lines) == len(KEPT[name])


def _told(before: str, whole: dict[str, object]) -> str:
    """The sections that differ, as they are now."""
    digits = before.split("; ")[-1].split(" ")
    told = dict(zip(SECTIONS, digits, strict=False))
    changed = {name: each for name, each in whole.items() if told.get(name) != digest(each, DIGITS)}
    return json.dumps(changed, ensure_ascii=False)[:4000]
