"""Waiting for another thread."""

import time
from collections.abc import Callable
from typing import TypeVar

PATIENCE_S = 90.0
_Found = TypeVar("_Found")


def until(look: Callable[[], _Found]) -> _Found:
    """Look until there is something, and give it."""
    end_s = time.monotonic() + PATIENCE_S
    while not (found := look()):
        assert time.monotonic() < end_s, "it did not come about"
        time.sleep(0.01)
    return found
