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
# Tests that run the core in their own process; those of screens and commands mostly start others.
TESTS = (
    *("proportion", "recipe", "plan", "batch", "published", "worked"),
    *("record", "account", "wording", "station", "mishaps", "planning", "figures"),
)
# What names a change that is explained; line numbers move.
KEYS = ("path", "line", "before", "after")
# Choice: how many times slower than learned a test may be on a busy machine before the change is said to hang.
SLOWER = 8.0


def main() -> int:
    """Try the changes that are asked for; 0 where enough were noticed."""
    asked = _asked()
    if not asked.learned.exists() or asked.learn:
        print("learning which test runs which line", flush=True)
        of = [f"{top}/*" if top.is_dir() else str(top) for top in asked.core]
        command = [sys.executable, "-m", "tests.mutation.seen", str(asked.learned)]
        subprocess.run([*command, "--of", *of, "--by", *asked.tests], check=True)
    learned = json.loads(asked.learned.read_text(encoding="utf-8"))
    chosen = _chosen(asked)
    same = {tuple(one[key] for key in KEYS) for one in explained(asked.same)}
    counts: Counter[str] = Counter()
    for mutant, outcome in _tried(chosen, learned, asked):
        if outcome in ("survived", "unseen") and _key(mutant) in same:
            outcome = "same"
        counts[outcome] += 1
        if outcome in ("survived", "unseen", "not run"):
            print(
                f"{outcome} {mutant.path}:{mutant.line}\n  - {mutant.before}\n  + {mutant.after}", flush=True
            )
    real = sum(counts.values()) - counts["same"]
    noticed = counts["killed"] + counts["hung"]
    share = noticed / real if real else 1.0
    print(
        f"{real} real changes, {noticed} noticed ({share:.1%}); {counts['same']} change nothing; "
        f"{dict(sorted(counts.items()))}"
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
    parser.add_argument("--learned", type=Path, default=Path(".mutation.json"), help="where that is kept")
    parser.add_argument("--same", type=Path, default=Path(__file__).with_name("same.toml"))
    parser.add_argument("--slack", type=float, default=60.0, help="seconds every trial may take at least")
    core = [Path("mixstation", package) for package in PACKAGES]
    parser.add_argument("--core", nargs="+", type=Path, default=core, help="what may be changed")
    tests = [*(f"tests/{folder}" for folder in TESTS), *map(str, core)]
    parser.add_argument("--tests", nargs="+", default=tests, help="what must notice")
    parser.add_argument("paths", nargs="*", type=Path, help="modules or folders; the whole core if none")
    return parser.parse_args()


def _chosen(asked: argparse.Namespace) -> list[Mutant]:
    tops = asked.paths or asked.core
    files = [file for top in tops for file in (sorted(top.rglob("*.py")) if top.is_dir() else [top])]
    every = [one for file in files for one in mutants_of(str(file), file.read_text(encoding="utf-8"))]
    if not asked.sample or asked.sample >= len(every):
        return every
    return sorted(
        random.Random(asked.seed).sample(every, asked.sample), key=lambda one: (one.path, one.start)
    )


def explained(same: Path) -> list[dict[str, str]]:
    """Changes with which the program does the same: path, text of the line, before, after and the reason of each."""
    found: list[dict[str, str]] = tomllib.loads(same.read_text(encoding="utf-8")).get("same", [])
    return found


def _key(mutant: Mutant) -> tuple[str, ...]:
    line = Path(mutant.path).read_text(encoding="utf-8").splitlines()[mutant.line - 1]
    return (mutant.path, line.strip(), mutant.before, mutant.after)


def tests_of(mutant: Mutant, lines: dict[str, dict[str, list[str]]], took_s: dict[str, float]) -> list[str]:
    """Tests that run a change's line, fastest first; those of its whole file where only its import runs it."""
    of_file = lines.get(mutant.path, {})
    of_line = of_file.get(str(mutant.line))
    return of_line or sorted({test for tests in of_file.values() for test in tests}, key=took_s.__getitem__)


def _tried(
    chosen: Sequence[Mutant], learned: dict, asked: argparse.Namespace
) -> Iterator[tuple[Mutant, Outcome]]:
    waiting = list(reversed(chosen))
    running: dict[int, tuple[Mutant, float]] = {}
    while waiting or running:
        while waiting and len(running) < asked.jobs:
            mutant = waiting.pop()
            tests = tests_of(mutant, **learned)
            if not tests:
                yield mutant, "unseen"
                continue
            usual_s = sum(learned["took_s"][test] for test in tests)
            running[begin(mutant, tests)] = mutant, time.monotonic() + asked.slack + SLOWER * usual_s
        for pid, (mutant, until_s) in list(running.items()):
            outcome = end(pid, until_s)
            if outcome is not None:
                del running[pid]
                yield mutant, outcome
        time.sleep(0.02)


if __name__ == "__main__":
    sys.exit(main())
