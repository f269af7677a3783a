"""Time for all ways out of a batch of ten materials, as ratios to the solver's own least work, same run.

What they take from a cold start is in `first_paint`, at the command. Run by hand: python -m tests.benchmarks.ways
"""

import statistics
import time
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from itertools import chain

from mixstation.batch.run import Run
from mixstation.batch.ways import Limits, ways_out
from mixstation.proportion.programme import Programme
from mixstation.recipe.model import Basis, Dose, Recipe, Role
from tests.batch.ways.bucket import RAW, RAW_KG, add, begin, limits, material, per_mille, weighed, work

ROUNDS = 40

TEN = replace(
    RAW,
    key="ten",
    materials=(
        *RAW.materials,
        material("limestone", Role.FILLER, parts=Fraction(2)),
        material("black", Role.PIGMENT, dose=Dose(fraction=per_mille(12), of=Basis.CEMENT)),
    ),
    steps=(*RAW.steps[:6], add("limestone"), add("black"), *RAW.steps[6:]),
)
TEN_KG = {**RAW_KG, "limestone": Fraction(12, 10)}


def troubles() -> dict[str, tuple[Run, Limits]]:
    """One batch of ten materials gone wrong in different ways."""
    return {
        "water over its total": _trouble(TEN, {"water-80": Fraction(145, 100)}),
        "pigment over": _trouble(TEN, {"pigment-100": Fraction(13, 10)}),
        "plasticiser over": _trouble(TEN, {"plasticiser-100": Fraction(15, 10)}),
        "first share of water over": _trouble(TEN, {"water-80": Fraction(115, 100)}, until="plasticiser-100"),
        "bucket too small to grow": _trouble(TEN, {"water-80": Fraction(145, 100)}, bucket_l=13.3),
        "nothing to grow with": _trouble(TEN, {"water-80": Fraction(145, 100)}, stock_mg={"sand": 10_000}),
    }


def _trouble(
    recipe: Recipe,
    factors: dict[str, Fraction],
    *,
    until: str = "fibre-100",
    bucket_l: float = 40.0,
    stock_mg: dict[str, int] | None = None,
) -> tuple[Run, Limits]:
    run = begin(recipe, TEN_KG, bucket_l=bucket_l)
    found = limits(run, stock_mg=stock_mg or {})
    run = work(run, found.divisions_mg, until=until, factors=factors)
    return weighed(run, "water", 10_000, None), found


def least_work() -> None:
    """The solver made, and one whole number found."""
    programme = Programme()
    number = programme.unknown(0, 9, whole=True)
    programme.at_least(number, 2.5)
    programme.least(number)


def timed(act: Callable[[], object], rounds: int) -> list[float]:
    """Seconds of each round, in order of size."""
    took_s = []
    for _ in range(rounds):
        begun_s = time.perf_counter()
        act()
        took_s.append(time.perf_counter() - begun_s)
    return sorted(took_s)


def main() -> None:
    """Turn by turn, so that all meet the same machine."""
    cases = troubles()
    least_work()
    base: list[float] = []
    took: dict[str, list[float]] = {name: [] for name in cases}
    for _ in range(ROUNDS):
        base += timed(least_work, 1)
        for name, (run, found) in cases.items():
            took[name] += timed(lambda run=run, found=found: ways_out(run, found), 1)  # type: ignore[misc]
    base_s = statistics.median(base)
    print(f"{'warm':30} {'median':>8} {'p99':>8} {'ratio':>7} ways")
    print(f"{'solver, least work':30} {base_s * 1e3:5.2f} ms {max(base) * 1e3:5.1f} ms {1:7.1f}")
    for name, times_s in [*took.items(), ("all of them", list(chain(*took.values())))]:
        middle_s, late_s = statistics.median(times_s), statistics.quantiles(times_s, n=100)[98]
        count = len(ways_out(*cases[name])) if name in cases else ""
        print(f"{name:30} {middle_s * 1e3:5.1f} ms {late_s * 1e3:5.1f} ms {middle_s / base_s:7.1f} {count}")
    for name, (run, found) in cases.items():
        begun_s = time.thread_time()
        for _ in range(10):
            ways_out(run, found)
        print(f"{name:30} {(time.thread_time() - begun_s) * 100:5.1f} ms of processor time on its own thread")


if __name__ == "__main__":
    main()
