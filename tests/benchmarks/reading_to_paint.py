"""Time from a reading at the desk to the picture of it, as a ratio to the library alone at the same rate.

Run by hand: python -m tests.benchmarks.reading_to_paint
"""

import re
import statistics
import time

from tests.benchmarks.pty_subject import Subject
from tests.benchmarks.screen_subjects import TURN_S
from tests.screens import views

RATE = 5.0
LONG_S = 8.0
STAMP = re.compile(rb"(\d+\.\d{4}) s")


def measured(kind: str) -> list[float]:
    """Seconds from each stamped reading to its paint."""
    with Subject(kind, RATE) as subject:
        subject.until(views.POUR_LIVE.question.ask.encode())
        times_s = []
        seen: set[bytes] = set()
        end_s = time.monotonic() + LONG_S
        while time.monotonic() < end_s:
            painted = subject.read(1.0)
            now_s = time.monotonic()
            for stamp in STAMP.findall(painted):
                if stamp not in seen:
                    seen.add(stamp)
                    times_s.append((now_s - float(stamp)) % TURN_S)
    return times_s[5:]


def main() -> None:
    """Measure all and say the ratios."""
    subjects = {"library alone": "library-still", "ours, told": "ours", "ours, polled": "ours-polled"}
    base_s = 0.0
    for name, kind in subjects.items():
        times_s = measured(kind)
        middle_s, p95_s = statistics.median(times_s), statistics.quantiles(times_s, n=20)[18]
        base_s = base_s or middle_s
        print(
            f"{name:14} median {middle_s * 1e3:5.1f} ms, p95 {p95_s * 1e3:5.1f} ms, ratio {middle_s / base_s:.2f}"
        )


if __name__ == "__main__":
    main()
