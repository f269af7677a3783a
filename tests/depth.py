"""How deep tests dig: the suite's few, the full runs of `.ci/run` (`deep`, or drawn examples), ten times as many."""

from collections.abc import Iterable
from typing import Any

import pytest
from hypothesis import settings

_PARTS = {"suite": 0.3, "full": 1.0, "deep": 10.0}
# Choice: fewer show little of what is drawn.
_LEAST_COUNT = 10


def examples(count: int, profile: str = "") -> int:
    """Examples a test draws.

    Args:
        count: In the full profile, 1 or more: fewer than hypothesis' own for tests whose examples are slow.
        profile: Of which profile; "" for the one in force.

    Returns:
        The count, or its part or multiple in another profile.
    """
    part = _PARTS.get(profile or settings.get_current_profile_name(), 1.0)
    return min(count, max(_LEAST_COUNT, round(count * part))) if part < 1 else round(count * part)


def first(count: int, cases: Iterable[Any], *marks: pytest.MarkDecorator) -> list[Any]:
    """Cases of a parametrized test, of which the suite runs the first ones and the deep run the rest.

    Args:
        count: How many the suite runs.
        cases: All of them.
        *marks: What the rest is besides.
    """
    return [
        case if place < count else pytest.param(case, marks=(pytest.mark.deep, *marks))
        for place, case in enumerate(cases)
    ]
