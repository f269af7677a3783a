"""Every figure of the pinned plans is what it was when it was last read and kept: `python -m tests.figures`."""

from itertools import islice
from typing import Any

import pytest

from tests.figures.compared import differences, kept
from tests.figures.plans import FILE, cases, figures


@pytest.fixture(scope="module")
def before() -> dict[str, Any]:
    return kept(FILE)


@pytest.mark.parametrize("name", cases())
def test_a_case_comes_to_what_was_kept(before: dict[str, Any], name: str) -> None:
    now = figures(name)
    found = list(islice(differences(before.get(name), now), 5))
    assert now == before.get(name), "\n".join(found)


def test_there_is_a_line_for_every_case(before: dict[str, Any]) -> None:
    assert list(before) == list(cases())
