"""How deep tests dig: the suite's few, the long runs marked `deep`, and ten times the examples with that profile."""

from collections.abc import Iterable
from typing import Any

import pytest
from hypothesis import settings

DEEP_COUNT = 10


def examples(count: int) -> int:
    """Examples a test draws.

    Args:
        count: In the suite, 1 or more: fewer than hypothesis' own for tests whose examples are slow.

    Returns:
        The count, or its multiple in the deep profile.
    """
    return count * (DEEP_COUNT if settings.get_current_profile_name() == "deep" else 1)


def first(count: int, cases: Iterable[Any]) -> list[Any]:
    """Cases of a parametrized test, of which the suite runs the first ones and the deep run the rest.

    Args:
        count: How many the suite runs.
        cases: All of them.
    """
    return [
        case if place < count else pytest.param(case, marks=pytest.mark.deep)
        for place, case in enumerate(cases)
    ]
