"""Which functions of the program a representative set of its commands enters, seen by a profiler as they run."""

import contextlib
import io
import os
import sys
import tempfile
import threading
from collections.abc import Iterator
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from types import CodeType, FrameType
from unittest.mock import patch

import mixstation
from mixstation.account.say import local
from mixstation.batch.events import BatchFinished, BatchStarted
from mixstation.cli.main import main
from mixstation.record.codec import read
from mixstation.record.journal import Journal
from tests.published.case import PublishedCase
from tests.station.recipes import QUICK

PROGRAM = str(Path(mixstation.__file__).parent)
PINNED = Path(__file__).parents[1] / "pinned"

SLAB = ("--slab", "2 ft 3 in x 450 x 18 mm", "--face", "3 mm")
DAY = ("--shop", "86 °F", "--wanted", "20 °C", "--humidity", "45 %", "--wind", "8 mph")
COLD = ("--shop", "8 °C", "--wanted", "20 °C")
COMMANDS: tuple[tuple[str, ...], ...] = (
    ("recipes", "bench_top"),
    ("plan", "bench_top", *SLAB, *DAY, "--claim", "mix", "57.7 lb", "1/3 ft3"),
    (
        "plan",
        "planter_wall",
        "--mould",
        "12.4 kg at 18 °C",
        "--density",
        "129 lb/ft3",
        "--pan",
        "515 g",
        "500 g",
    ),
    ("plan", "planter_wall", "--total", "10 kg", "--free-moisture", "2 %", *COLD),
    ("plan", "hearth_plate", "--bags", "1"),
    (
        "recover",
        "bench_top",
        "--powder",
        "8 kg",
        "--in",
        "water=1.6 kg",
        "--in",
        "cement=4 kg",
        "--left",
        "15 min",
    ),
    ("mix", "RINGS", "--powder", "2 kg", "--plain"),
    ("cure", "LOG", "--batch", "BATCH"),
    ("records", "show", "BATCH"),
)
"""What a maker types. BATCH stands for a stored batch of `tests/pinned/`, RINGS for a recipe that is judged by the
slump tube, LOG for temperatures beside the piece.
"""

SETTINGS = """
[[scale]]
name = "bench"
capacity = "6 kg"
division = "1 g"
"""

TYPED = "\n208 g\nquit\n"
"""What is typed at the bucket: the safety text is read, the first water weighed."""


@contextlib.contextmanager
def watched(seen: set[CodeType]) -> Iterator[None]:
    """Note the code of every function entered meanwhile, in this thread and those started in it."""

    def note(frame: FrameType, event: str, _: object) -> None:
        if event == "call":
            seen.add(frame.f_code)

    before = sys.getprofile()
    threading.setprofile(note)
    sys.setprofile(note)
    try:
        yield
    finally:
        sys.setprofile(before)
        threading.setprofile(None)


def named(codes: set[CodeType]) -> frozenset[str]:
    """Functions of the program among codes, as "proportion/water.py:free_water"."""
    return frozenset(
        f"{Path(code.co_filename).relative_to(PROGRAM).as_posix()}:{code.co_qualname}"
        for code in codes
        if code.co_filename.startswith(PROGRAM) and "<" not in code.co_qualname
    )


@cache
def entered_by_commands() -> frozenset[str]:
    """Functions that the commands enter, run in this process in a home of their own."""
    codes: set[CodeType] = set()
    with tempfile.TemporaryDirectory() as folder, patch.dict(os.environ, {"MIXSTATION_HOME": folder}):
        home = Path(folder)
        batch_id, closed = store_batch(home / "data", "sill_cap_cup")
        names = {"BATCH": batch_id, "RINGS": str(home / "rings.toml"), "LOG": str(home / "log.csv")}
        (home / "config").mkdir()
        (home / "config" / "settings.toml").write_text(SETTINGS, encoding="utf-8")
        (home / "rings.toml").write_text(ringed(), encoding="utf-8")
        readings = (f"{closed + timedelta(hours=hours)},{18 + hours / 6}" for hours in range(0, 36, 6))
        (home / "log.csv").write_text("\n".join(("time,°C", *readings)), encoding="utf-8")
        for words in COMMANDS:
            said = io.StringIO()
            with (
                watched(codes),
                contextlib.redirect_stdout(said),
                contextlib.redirect_stderr(said),
                patch("sys.stdin", io.StringIO(TYPED)),
            ):
                code = main([names.get(word, word) for word in words])
            assert code == 0, (words, said.getvalue())
    return named(codes)


def ringed() -> str:
    """The quick recipe, its consistency judged first of all, by the slump tube."""
    first = "[[step]]\n"
    return QUICK.replace(first, f'{first}rings = "2 to 4"\n\n{first}', 1)


def entered_by(case: PublishedCase) -> frozenset[str]:
    """Functions of the program that a published case proves."""
    codes: set[CodeType] = set()
    with watched(codes):
        case.compute()
    return named(codes)


def store_batch(folder: Path, name: str) -> tuple[str, datetime]:
    """Store a pinned batch that was closed in a journal of its own.

    Returns:
        Its id, and the local time it was closed.
    """
    lines = (PINNED / f"{name}.jsonl").read_text("utf-8").splitlines()
    entries = [read(seq, line) for seq, line in enumerate(lines, start=1)]
    start, end = entries[0].fact, entries[-1]
    assert isinstance(start, BatchStarted)
    assert isinstance(end.fact, BatchFinished)
    journal = Journal.open(folder)
    try:
        for entry, line in zip(entries, lines, strict=True):
            journal.append(start.batch_id, entry.seq, entry.fact.kind, line)
    finally:
        journal.close()
    closed = local(end.stamp)
    assert closed is not None
    return start.batch_id, closed.replace(tzinfo=None)
