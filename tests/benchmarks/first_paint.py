"""From the start of a command to its first sign, first picture, first question or end, beside the library alone.

Processor time tells most on a busy machine. Run by hand: python -m tests.benchmarks.first_paint
"""

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence

from mixstation.wording.front import OPENING
from tests.benchmarks.subject import ALONE, ALONE_SHOWS, COMMAND, GEAR_IS_ON, MIX, Subject, beside

RUN_COUNT = 5
SOLVER = """
import highspy
programme = highspy.Highs()
programme.silent()
number = programme.addIntegral(0, 9)
programme.addConstr(number >= 2.5)
programme.minimize(number)
"""
PICTURES = {
    "mix": (MIX, GEAR_IS_ON),
    "plan": ((COMMAND, "plan"), "Type its number"),
    "resume": ((COMMAND,), GEAR_IS_ON),
}
LINES = {
    "recipes": (COMMAND, "recipes"),
    "records": (COMMAND, "records"),
    "stock": (COMMAND, "stock"),
    "recover": (COMMAND, "recover", "hearth_plate", "--powder", "8 kg", "--in", "water=1.3 kg", "--in", "blend=4 kg"),
    "solver alone": (sys.executable, "-c", SOLVER),
    "bare interpreter": (sys.executable, "-c", ""),
}  # fmt: skip


def ended_cpu_s(command: Sequence[str], home: str) -> float:
    """Processor seconds of a command from its start to its end."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, env={**env, "MIXSTATION_HOME": home})
    _, status, used = os.wait4(process.pid, 0)
    if status:
        raise RuntimeError(f"{command} failed")
    return used.ru_utime + used.ru_stime


def measured(home: str, keep: Callable[[str, float], None]) -> None:
    """One turn through all, so that all meet the same machine."""
    with Subject(ALONE) as subject:
        keep("library alone", subject.shows(ALONE_SHOWS))
    for name, (command, question) in PICTURES.items():
        with (
            tempfile.TemporaryDirectory() as fresh,
            Subject(command, home if name == "resume" else fresh) as subject,
        ):
            keep(f"{name}, first sign", subject.until(lambda subject=subject: subject.raw))
            keep(f"{name}, its wall time", time.monotonic() - subject.started_s)
            keep(f"{name}, first picture", subject.painted(OPENING))
            keep(f"{name}, first question", subject.shows(question))
    for name, command in LINES.items():
        keep(name, ended_cpu_s(command, home))


def main() -> None:
    """Measure turn by turn; the first turn only warms up."""
    kept: dict[str, list[float]] = {}
    with tempfile.TemporaryDirectory() as home:
        with Subject(MIX, home) as subject:
            subject.shows(GEAR_IS_ON)
        ended_cpu_s((COMMAND, "stock", "count", "white-casting-blend", "20 kg", "--new"), home)
        measured(home, lambda _name, _took_s: None)
        for _ in range(RUN_COUNT):
            measured(home, lambda name, took_s: kept.setdefault(name, []).append(took_s))
    beside(kept, "library alone")
    print()
    beside({name: kept[name] for name in ("solver alone", "recover")}, "solver alone")


if __name__ == "__main__":
    main()
