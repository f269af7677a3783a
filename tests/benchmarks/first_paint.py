"""Time from start to the first picture, as a ratio to the same picture by the terminal library alone, same run.

Run by hand: python -m tests.benchmarks.first_paint
"""

import statistics

from tests.benchmarks.pty_subject import Subject
from tests.screens import views

RUN_COUNT = 10


def main() -> None:
    """Measure turn by turn, so that both meet the same machine."""
    ask = views.POUR_LIVE.question.ask.encode()
    subjects = {
        "library alone, whole board": ("library-still", ask),
        "ours, first picture": ("ours", b"Opening"),
        "ours, whole board": ("ours", ask),
    }
    times_s: dict[str, list[float]] = {name: [] for name in subjects}
    for turn in range(RUN_COUNT + 1):
        for name, (kind, marker) in subjects.items():
            with Subject(kind) as subject:
                took_s = subject.until(marker) - subject.started_s
            if turn:
                times_s[name].append(took_s)
    base_s = statistics.median(times_s["library alone, whole board"])
    for name, took in times_s.items():
        middle_s = statistics.median(took)
        print(
            f"{name:30} median {middle_s * 1e3:6.0f} ms, best {min(took) * 1e3:6.0f} ms, ratio {middle_s / base_s:.2f}"
        )


if __name__ == "__main__":
    main()
