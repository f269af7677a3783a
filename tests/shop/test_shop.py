"""Whole batches through the session, drawn by seed, with every invariant checked after every event."""

import pytest

from tests.depth import first
from tests.shop.shop import run_seed
from tests.shop.yard import Mood

# `python -m tests.shop.soak` runs more.
SEEDS = range(16)
IN_THE_SUITE = 2
# Drawn once and not held: a clock set after the end, and a dose the scale cannot show.
ONCE_BROKEN = (234, 103)


@pytest.mark.parametrize("seed", first(IN_THE_SUITE, SEEDS))
def test_every_invariant_holds(seed: int) -> None:
    outcome = run_seed(seed)
    assert outcome.ended
    assert outcome.entry_count > 3


@pytest.mark.parametrize("seed", first(1, ONCE_BROKEN))
def test_what_broke_once_holds(seed: int) -> None:
    assert run_seed(seed).ended


@pytest.mark.parametrize("drawn", first(1, [(8, "slips"), (7, "calm"), (9, "wild")]))
def test_the_same_seed_is_the_same_run(drawn: tuple[int, Mood]) -> None:
    seed, mood = drawn
    assert run_seed(seed, mood).hash == run_seed(seed, mood).hash
