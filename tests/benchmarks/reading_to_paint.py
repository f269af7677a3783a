"""From a weight put on the scale's wire to the picture of it, by the real command and by the library alone.

The scale's text, as it stands in the status row or alone on the line, is found in the picture.
Run by hand: python -m tests.benchmarks.reading_to_paint
"""

import statistics
import time
from collections.abc import Iterator

from tests.benchmarks.subject import ALONE, Subject, at_the_pour, beside, scale_on_port

COUNT = 150
STEP_MG = 5_000
RATE_HZ = 10.0


def measured(subject: Subject, sent: "Sent") -> list[float]:
    """Seconds from each frame to the first picture that has its figure."""
    times_s = []
    for figure, sent_s in sent.each():
        while figure not in subject.picture and time.monotonic() < sent_s + 1 / RATE_HZ * 0.9:
            subject.read(0.02)
        times_s.append(subject.read_s - sent_s if figure in subject.picture else 1 / RATE_HZ)
    return times_s


class Sent:
    """Frames as they leave for the wire, each of another weight."""

    def __init__(self) -> None:
        self._frames: list[tuple[str, float]] = []

    def line(self, frame: bytes) -> bytes:
        """Note a frame on its way."""
        figure = frame.decode("ascii", "replace").strip().rpartition(" ")[2].removesuffix("kg")
        if not self._frames or self._frames[-1][0] != figure:
            self._frames.append((figure, time.monotonic()))
        return frame

    def each(self) -> Iterator[tuple[str, float]]:
        """The next frames as they come."""
        for at in range(len(self._frames), len(self._frames) + COUNT):
            while len(self._frames) <= at:
                time.sleep(0.001)
            yield self._frames[at]


def main() -> None:
    """Measure both and say the ratio."""
    kept = {}
    sent = Sent()
    with scale_on_port(RATE_HZ, sent.line) as (scale, port), Subject((*ALONE, port)) as subject:
        subject.shows("kg")
        scale.pour(STEP_MG * round(RATE_HZ))
        kept["library alone"] = measured(subject, sent)
    with scale_on_port(RATE_HZ, sent.line) as (scale, port), at_the_pour(port) as subject:
        scale.pour(STEP_MG * round(RATE_HZ))
        kept["ours, at a pour"] = measured(subject, sent)
    beside(kept, "library alone")
    for name, times_s in kept.items():
        print(f"{name}: p99 {statistics.quantiles(times_s, n=100)[98] * 1e3:.1f} ms")


if __name__ == "__main__":
    main()
