"""From a key to the picture of it at a real pour, beside a bare counter of keys with the terminal library, same run.

Run by hand: python -m tests.benchmarks.key_to_paint
"""

import statistics
import time

from tests.benchmarks.subject import ALONE, ALONE_SHOWS, PATIENCE_S, Subject, at_the_pour, beside

KEYS = "123456789-" * 6
GAP_S = 0.25


def measured(subject: Subject) -> list[float]:
    """Seconds from key to paint, key by key."""
    times_s = []
    for key in KEYS:
        subject.quiet(GAP_S)
        begun_s = time.monotonic()
        subject.press(key)
        if not subject.read(PATIENCE_S):
            raise TimeoutError(key)
        times_s.append(subject.read_s - begun_s)
    return times_s


def main() -> None:
    """Measure both and say the ratio."""
    kept = {}
    with Subject(ALONE) as subject:
        subject.shows(ALONE_SHOWS)
        kept["bare counter of keys"] = measured(subject)
    with at_the_pour() as subject:
        kept["ours, at a pour"] = measured(subject)
    beside(kept, "bare counter of keys")
    for name, times_s in kept.items():
        print(f"{name}: p95 {statistics.quantiles(times_s, n=20)[18] * 1e3:.1f} ms")


if __name__ == "__main__":
    main()
