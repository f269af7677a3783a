"""A harness that finds nothing proves nothing: every planted bug must be found, by an invariant that speaks of it."""

import pytest

from tests.depth import first
from tests.shop.broken import BrokenRuleError
from tests.shop.planted import BUGS, Planted
from tests.shop.planted_mix_ups import MIX_UPS
from tests.shop.shop import run_seed

# A bug may show in another way first, and what is drawn may change with the program.
MOST_SEEDS = 8
IN_THE_SUITE = 3


@pytest.mark.parametrize("bug", [*first(IN_THE_SUITE, BUGS), *first(1, MIX_UPS)], ids=lambda bug: bug.name)
def test_every_planted_bug_is_found(bug: Planted) -> None:
    found = []
    with bug.there():
        for seed in range(bug.seed, bug.seed + MOST_SEEDS):
            try:
                run_seed(seed, bug.mood)
            except BrokenRuleError as broken:
                if broken.rule in bug.rules:
                    return
                found.append(broken)
    pytest.fail(f"not found, only {found}")
