"""`python -m tests.shop.soak --seeds N [--from S]`: as many shops as wanted; says what broke and what was drawn."""

import argparse
import sys
import time
from collections import Counter

from tests.shop.broken import BrokenRuleError
from tests.shop.mix_ups import DRAWN, ON_WISH
from tests.shop.shop import run_seed


def main() -> int:
    """Run seeds; exit code 1 if an invariant broke."""
    parser = argparse.ArgumentParser(prog="python -m tests.shop.soak", description=__doc__)
    parser.add_argument("--seeds", type=int, default=100, help="how many")
    parser.add_argument("--from", dest="first", type=int, default=0, help="the first")
    parser.add_argument(
        "--mood", choices=("calm", "slips", "wild"), help="as drawn by the seed, if not given"
    )
    parser.add_argument("--limit", type=float, default=0.0, help="stop after so many seconds; 0 for never")
    parser.add_argument("--also", choices=ON_WISH, nargs="*", default=(), help="mix-ups drawn besides")
    given = parser.parse_args()
    DRAWN.update(given.also)
    begun_s = time.monotonic()
    faults: Counter[str] = Counter()
    codes: Counter[str] = Counter()
    ends: Counter[str] = Counter()
    entries = views = broken = 0
    for seed in range(given.first, given.first + given.seeds):
        if given.limit and time.monotonic() - begun_s > given.limit:
            break
        try:
            outcome = run_seed(seed, given.mood)
        except BrokenRuleError as error:
            broken += 1
            print(f"seed {seed}: {error}", flush=True)
            continue
        faults += outcome.faults
        codes += outcome.codes
        ends[f"{outcome.mood} {outcome.ended}"] += 1
        entries += outcome.entry_count
        views += outcome.view_count
    print(f"{sum(ends.values())} held, {broken} broke, in {time.monotonic() - begun_s:.0f} s")
    print(f"{entries} entries and {views} views checked; ends: {dict(ends)}")
    print("faults drawn:", ", ".join(f"{name} {count}" for name, count in sorted(faults.items())))
    print("flags raised:", ", ".join(f"{name} {count}" for name, count in sorted(codes.items())))
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main())
