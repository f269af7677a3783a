"""The cost found for a batch is the one scipy finds for the same programme."""

from itertools import islice

import pytest

from tests.batch.ways.against_scipy import compare, searches
from tests.depth import first


# The command of `against_scipy` solves as many as are wanted.
@pytest.mark.parametrize("case_count", first(1, [60, 300]))
def test_programmes_of_batches_gone_wrong_cost_what_scipy_finds(case_count: int) -> None:
    found = compare(islice(searches(seed=7), case_count))
    assert found.differing == ()
    assert found.solved_count + found.unsolvable_count == case_count
    assert found.solved_count > case_count / 2
    assert found.unsolvable_count > 0
