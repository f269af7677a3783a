"""Programmes of batches gone wrong, solved by us and by scipy: `python -m tests.batch.ways.against_scipy --cases 1200`.

One case is one programme: a batch, what may be moved to mend it, and what is to be least.
"""

import argparse
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from math import isclose

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """What came of some programmes.

    Attributes:
        solved_count: Those both found a least cost of.
        unsolvable_count: Those both found to have no solution.
        differing: Number and what each found, of those on which they differ.
        farthest: Largest difference of two costs that agree.
    """

    solved_count: int
    unsolvable_count: int
    differing: tuple[str, ...]
    farthest: float


def searches(seed: int) -> Iterator[Search]:
    """Endless programmes: of each batch of a seed all that is sought."""
    for run, found in batches(seed):
        stands = situation(run, found)
        for freedom, goal in SOUGHT:
            yield Search(stands, freedom, goal)


def compare(programmes: Iterable[Search]) -> Compared:
    """Solve each programme both ways."""
    solved_count = unsolvable_count = 0
    differing: list[str] = []
    farthest = 0.0
    for number, search in enumerate(programmes):
        # Time enough on any machine: a search cut short by the clock would show a dearer cost.
        ours = search.programme.least(search.cost, longest_s=600)
        theirs = scipy_cost(search.programme, search.cost)
        if theirs is None and ours.outcome == "infeasible":
            unsolvable_count += 1
        elif (
            theirs is not None
            and ours.outcome == "optimal"
            and isclose(ours.cost, theirs, rel_tol=1e-6, abs_tol=2 * GAP)
        ):
            solved_count += 1
            farthest = max(farthest, abs(ours.cost - theirs))
        else:
            differing.append(f"{number}: ours {ours.outcome} {ours.cost}, theirs {theirs}")
    return Compared(
        solved_count=solved_count,
        unsolvable_count=unsolvable_count,
        differing=tuple(differing),
        farthest=farthest,
    )


def main() -> int:
    """Compare as many as asked for, and say what came of it."""
    parser = argparse.ArgumentParser(prog="python -m tests.batch.ways.against_scipy", description=__doc__)
    parser.add_argument("--cases", type=int, default=1200, help="programmes to solve both ways")
    parser.add_argument("--seed", type=int, default=7)
    given = parser.parse_args()
    found = compare(islice(searches(given.seed), given.cases))
    print(
        f"{given.cases} programmes of seed {given.seed}: {found.solved_count} with the same least cost, "
        f"{found.unsolvable_count} found unsolvable by both, {len(found.differing)} differ; "
        f"largest difference {found.farthest:.2g}, allowed 1e-06 of the cost or {2 * GAP:.2g}"
    )
    for differing in found.differing:
        print(differing)
    return bool(found.differing)


if __name__ == "__main__":
    raise SystemExit(main())
