"""Every trouble of the ledger is offered the ways that were kept of it."""

import pytest

from tests.depth import first
from tests.figures import ways
from tests.figures.compared import differences, kept

KEPT = kept(ways.FILE)


def test_every_trouble_is_kept() -> None:
    assert list(KEPT) == list(ways.cases())


@pytest.mark.parametrize("name", first(30, ways.cases(), pytest.mark.pinned))
def test_a_trouble_is_offered_what_was_kept(name: str) -> None:
    assert not list(differences(KEPT[name], ways.figures(name)))
