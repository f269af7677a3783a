"""The cost found for a batch is the one scipy finds for the same programme."""

from itertools import islice

import pytest

from tests.batch.ways.against_scipy import compare, searches
from tests.depth import first


# The command of `against_scipy` solves as many as are wanted.
@pytest.mark.parametrize("counts", first(1, [(60, 0), (300, 1)]))
def test_programmes_of_batches_gone_wrong_cost_what_scipy_finds(counts: tuple[int, int]) -> None:
    case_count, least_unsolvable_count = counts
    found = compare(islice(searches(seed=7), case_count))
    assert found.differing == ()
    assert found.solved_count + found.unsolvable_count == case_count
    assert found.solved_count > case_count / 2
    assert found.unsolvable_count >= least_unsolvable_count
