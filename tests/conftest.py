"""Property tests: the suite's and the full profile's draw the same examples every time, the deep profile's new ones.

They are judged by what they find, not by how long one example takes on a busy machine.
"""

import gc
import os
import sys
from collections.abc import Generator

import pytest
from hypothesis import settings

from tests.depth import examples

USUAL = settings.default.max_examples

settings.register_profile("suite", deadline=None, derandomize=True, max_examples=examples(USUAL, "suite"))
settings.register_profile("full", deadline=None, derandomize=True)
settings.register_profile("deep", deadline=None, max_examples=examples(USUAL, "deep"))
settings.load_profile("suite")

# Hundreds of tests start the program, and each start would compile it anew.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """What is collected stays to the end: nothing of it is looked through for garbage, then or later."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()
