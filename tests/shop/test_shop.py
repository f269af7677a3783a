"""Whole batches through the session, drawn by seed, with every invariant checked after every event."""

import pytest

from tests.shop.shop import run_seed
from tests.shop.yard import Mood

# As many as twenty seconds hold; `python -m tests.shop.soak` runs more.
SEEDS = range(16)


@pytest.mark.parametrize("seed", SEEDS)
def test_every_invariant_holds(seed: int) -> None:
    outcome = run_seed(seed)
    assert outcome.ended
    assert outcome.entry_count > 3


@pytest.mark.parametrize(("seed", "mood"), [(7, "calm"), (8, "slips"), (9, "wild")])
def test_the_same_seed_is_the_same_run(seed: int, mood: Mood) -> None:
    assert run_seed(seed, mood).hash == run_seed(seed, mood).hash
