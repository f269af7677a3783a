"""Time from a key to the picture of it, as a ratio to a bare counter of keys with the terminal library, same run.

Run by hand: python -m tests.benchmarks.key_to_paint
"""

import statistics
import time

from tests.benchmarks.pty_subject import Subject
from tests.screens import views

KEYS = b"123456789-" * 6
GAP_S = 0.12


def measured(kind: str) -> list[float]:
    """Seconds from key to paint, key by key."""
    with Subject(kind) as subject:
        subject.until(views.POUR_LIVE.question.ask.encode())
        subject.quiet()
        times_s = []
        for key in KEYS:
            times_s.append(subject.press(bytes([key])))
            subject.quiet(GAP_S)
            time.sleep(GAP_S)
    return times_s


def main() -> None:
    """Measure both and say the ratio."""
    base = measured("library-counter")
    ours = measured("ours")
    for name, times_s in (("bare counter", base), ("ours", ours)):
        p95_s = statistics.quantiles(times_s, n=20)[18]
        middle_s = statistics.median(times_s)
        ratio = middle_s / statistics.median(base)
        print(f"{name:14} median {middle_s * 1e3:5.1f} ms, p95 {p95_s * 1e3:5.1f} ms, ratio {ratio:.2f}")


if __name__ == "__main__":
    main()
