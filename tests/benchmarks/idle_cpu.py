"""Processor share, bytes painted and memory of a real batch on a real scale's port, beside the library alone.

Run by hand: python -m tests.benchmarks.idle_cpu
"""

from tests.benchmarks.subject import ALONE, ALONE_SHOWS, SETTLED_S, Subject, at_the_pour, scale_on_port

LONG_S = 10.0
SLOWLY_MG_S = 15_000
FAR_TOO_MUCH_G = 1400
SIZES = ((80, 24), (120, 40))


def told(name: str, subject: Subject) -> None:
    """Watch it for a while and print a row."""
    changed, before_s = subject.changed_bytes, subject.cpu_s()
    painted = subject.watch(LONG_S)
    share, changed_s = (subject.cpu_s() - before_s) / LONG_S, (subject.changed_bytes - changed) / LONG_S
    memory, most = subject.memory_mib()
    print(f"{name:28} {share:8.2%} {painted / LONG_S:10.0f} {changed_s:13.0f} {memory:8.1f} {most:8.1f}")


def main() -> None:
    """A steady weight at 10 and 50 lines a second, a slow pour, typed weights; and nothing at all by the library."""
    print(f"{'':28} {'of a core':>8} {'bytes/s':>10} {'bytes changed':>13} {'MiB':>8} {'most':>8}")
    with Subject(ALONE) as subject:
        subject.shows(ALONE_SHOWS)
        subject.watch(1.0)
        told("library alone, nothing comes", subject)
    for columns, height in SIZES:
        size = f"{columns} x {height}"
        with at_the_pour("", columns, height) as subject:
            told(f"{size}, typed", subject)
        for rate in (10.0, 50.0):
            with scale_on_port(rate) as (scale, port), at_the_pour(port, columns, height) as subject:
                told(f"{size}, steady, {rate:.0f} lines/s", subject)
                if rate == 10.0:
                    scale.pour(SLOWLY_MG_S)
                    subject.watch(1.0)
                    told(f"{size}, slow pour", subject)
    with at_the_pour() as subject:
        # Far too much water, twice said yes to: the ways out stand on screen, and the solver has been loaded for them.
        for key in f"{FAR_TOO_MUCH_G}\r":
            subject.press(key)
            subject.watch(SETTLED_S)
        subject.press("\r")
        subject.shows("Ways out")
        told("the ways out on screen", subject)


if __name__ == "__main__":
    main()
