"""The cost found for a batch is the one scipy finds for the same programme."""

from itertools import islice

from tests.batch.ways.against_scipy import compare, searches

CASES = 300  # The command of `against_scipy` solves as many as are wanted.


def test_programmes_of_batches_gone_wrong_cost_what_scipy_finds() -> None:
    found = compare(islice(searches(seed=7), CASES))
    assert found.differing == ()
    assert found.solved_count + found.unsolvable_count == CASES
    assert found.solved_count > CASES / 2
    assert found.unsolvable_count > 0
