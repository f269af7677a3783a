"""The cost found for a batch is the one scipy finds for the same programme."""

from itertools import islice

import pytest

from mixstation.batch.ways.goals import LEAST_ADDED, LEAST_WASTED, NEAREST, SAME_COLOUR, Freedom
from mixstation.batch.ways.search import Search
from mixstation.batch.ways.situation import situation
from mixstation.proportion.programme import GAP
from tests.batch.ways.chance import batches
from tests.proportion.scipy_cost import scipy_cost

SOUGHT = (
    (Freedom(), NEAREST),
    (Freedom(), LEAST_ADDED),
    (Freedom(), SAME_COLOUR),
    (Freedom(any_volume=True), NEAREST),
    (Freedom(any_stock=True), NEAREST),
    (Freedom(any_band=True, any_volume=True), NEAREST),
    (Freedom(scoop=True), LEAST_WASTED),
    (Freedom(scoop=True), NEAREST),
)
BATCHES = 40


def test_programmes_of_batches_gone_wrong_cost_what_scipy_finds() -> None:
    solved = 0
    for run, found in islice(batches(seed=7), BATCHES):
        stands = situation(run, found)
        for freedom, goal in SOUGHT:
            search = Search(stands, freedom, goal)
            ours, theirs = search.programme.least(search.cost), scipy_cost(search.programme, search.cost)
            if theirs is None:
                assert ours.outcome == "infeasible"
            else:
                assert ours.outcome == "optimal"
                assert ours.cost == pytest.approx(theirs, rel=1e-6, abs=2 * GAP)
                solved += 1
    assert BATCHES * len(SOUGHT) > 300
    assert solved > 150
