"""Try one-line changes of the core on the tests: `python -m tests.mutation --sample 200`.

Each change is tried on the tests that run its line, fastest first, until one fails. A change that no test notices is
printed, unless `same.toml` says why the program does the same with it. Ends with 1 below the share asked for.
"""

import argparse
import json
import random
import subprocess
import sys
import time
import tomllib
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

# Loaded before the processes part, so that each starts in an instant.
import hypothesis  # noqa: F401
import pydantic  # noqa: F401
import scipy.optimize  # noqa: F401

from tests.mutation.mutants import Mutant, mutants_of
from tests.mutation.trial import Outcome, begin, end

PACKAGES = ("proportion", "plan", "batch")
LEARNED = Path(".mutation.json")
SAME = Path(__file__).with_name("same.toml")
# Choice: a slow test may take long on a busy machine; a change that hangs takes for ever.
SLACK_S, SLOWER = 60.0, 8.0


def main() -> int:
    """Try the changes that are asked for; 0 where enough were noticed."""
    asked = _asked()
    if not LEARNED.exists() or asked.learn:
        print("learning which test runs which line", flush=True)
        subprocess.run([sys.executable, "-m", "tests.mutation.seen", str(LEARNED), *PACKAGES], check=True)
    learned = json.loads(LEARNED.read_text(encoding="utf-8"))
    chosen = _chosen(asked)
    same = {(one["path"], one["before"], one["after"]) for one in _explained()}
    counts: Counter[str] = Counter()
    for mutant, outcome in _tried(chosen, learned, asked.jobs):
        if outcome in ("survived", "unseen") and (mutant.path, mutant.before, mutant.after) in same:
            outcome = "same"
        counts[outcome] += 1
        if outcome in ("survived", "unseen"):
            print(
                f"{outcome} {mutant.path}:{mutant.line}\n  - {mutant.before}\n  + {mutant.after}", flush=True
            )
    real = sum(counts.values()) - counts["same"]
    noticed = counts["killed"] + counts["hung"]
    share = noticed / real if real else 1.0
    print(
        f"{real} real changes, {noticed} noticed ({share:.1%}); {counts['same']} change nothing; {dict(counts)}"
    )
    return 0 if share >= asked.least else 1


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument(
        "--sample", type=int, default=200, help="how many changes, drawn at random; 0 for all"
    )
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--least", type=float, default=0.95, help="share that must be noticed")
    parser.add_argument("--learn", action="store_true", help="learn anew which test runs which line")
    parser.add_argument("paths", nargs="*", help="modules or folders; the whole core where none are named")
    return parser.parse_args()


def _chosen(asked: argparse.Namespace) -> list[Mutant]:
    tops = [Path(path) for path in asked.paths] or [Path("mixstation", package) for package in PACKAGES]
    files = [file for top in tops for file in (sorted(top.rglob("*.py")) if top.is_dir() else [top])]
    every = [one for file in files for one in mutants_of(str(file), file.read_text(encoding="utf-8"))]
    if not asked.sample or asked.sample >= len(every):
        return every
    return sorted(
        random.Random(asked.seed).sample(every, asked.sample), key=lambda one: (one.path, one.start)
    )


def _explained() -> list[dict[str, str]]:
    found: list[dict[str, str]] = tomllib.loads(SAME.read_text(encoding="utf-8")).get("same", [])
    return found


def _tried(chosen: Sequence[Mutant], learned: dict, jobs: int) -> Iterator[tuple[Mutant, Outcome]]:
    waiting = list(reversed(chosen))
    running: dict[int, tuple[Mutant, float]] = {}
    while waiting or running:
        while waiting and len(running) < jobs:
            mutant = waiting.pop()
            tests = learned["lines"].get(mutant.path, {}).get(str(mutant.line), [])
            tests = [test for test in tests if test.startswith("tests/")]
            if not tests:
                yield mutant, "unseen"
                continue
            usual_s = sum(learned["took_s"][test] for test in tests)
            running[begin(mutant, tests)] = mutant, time.monotonic() + SLACK_S + SLOWER * usual_s
        for pid, (mutant, until_s) in list(running.items()):
            outcome = end(pid, until_s)
            if outcome is not None:
                del running[pid]
                yield mutant, outcome
        time.sleep(0.02)


if __name__ == "__main__":
    sys.exit(main())
