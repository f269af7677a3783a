"""Processor share and memory at no, 10 and 50 readings a second, beside the terminal library alone.

Run by hand: python -m tests.benchmarks.idle_cpu
"""

import time

from tests.benchmarks.pty_subject import Subject
from tests.screens import views

LONG_S = 8.0
RATES = (0.0, 10.0, 50.0)


def measured(kind: str, rate: float) -> tuple[float, float]:
    """Share of one processor, and MiB held."""
    with Subject(kind, rate) as subject:
        subject.until(views.POUR_LIVE.question.ask.encode())
        settled_s = time.monotonic() + 1.0
        while time.monotonic() < settled_s:
            subject.read(0.1)
        before_s, begun_s = subject.cpu_s(), time.monotonic()
        while time.monotonic() < begun_s + LONG_S:
            subject.read(0.1)
        share = (subject.cpu_s() - before_s) / (time.monotonic() - begun_s)
        return share, subject.memory_mib()


def main() -> None:
    """Measure turn by turn."""
    print(f"{'readings/s':>10} {'ours':>8} {'library':>8} {'MiB ours':>9} {'MiB library':>12}")
    for rate in RATES:
        ours, ours_mib = measured("ours", rate)
        alone, alone_mib = measured("library-still", rate)
        print(f"{rate:10.0f} {ours:8.1%} {alone:8.1%} {ours_mib:9.1f} {alone_mib:12.1f}")


if __name__ == "__main__":
    main()
