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
from mixstation.batch.events import BatchFinished, BatchStarted, Entry
from mixstation.cli.main import main
from mixstation.recipe.file import read_recipe
from mixstation.recipe.model import ConsistencyStep
from mixstation.record.codec import read, written
from mixstation.record.journal import Journal
from mixstation.record.stored import NewEvent
from tests.batch.making import Bench
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
    ("resume", "--plain"),
    ("cure", "LOG", "--batch", "BATCH"),
    ("records", "show", "BATCH"),
)
"""What a maker types. BATCH stands for a stored batch of `tests/pinned/`, LOG for temperatures beside its piece."""

SETTINGS = """
[[scale]]
name = "bench"
capacity = "6 kg"
division = "1 g"
"""


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
        store(home / "data", at_the_rings())
        names = {"BATCH": batch_id, "LOG": str(home / "log.csv")}
        (home / "config").mkdir()
        (home / "config" / "settings.toml").write_text(SETTINGS, encoding="utf-8")
        readings = (f"{closed + timedelta(hours=hours)},{18 + hours / 6}" for hours in range(0, 36, 6))
        (home / "log.csv").write_text("\n".join(("time,°C", *readings)), encoding="utf-8")
        for words in COMMANDS:
            said = io.StringIO()
            with (
                watched(codes),
                contextlib.redirect_stdout(said),
                contextlib.redirect_stderr(said),
                patch("sys.stdin", io.StringIO("quit\n")),
            ):
                code = main([names.get(word, word) for word in words])
            assert code == 0, (words, said.getvalue())
    return named(codes)


def at_the_rings() -> tuple[Entry, ...]:
    """A batch left open where its consistency is judged by the slump tube."""
    head, first, second, rest = QUICK.split("[[step]]\n", 3)
    text = "[[step]]\n".join((head, first, second, 'rings = "2 to 4"\n\n', rest))
    recipe = read_recipe(text, "rings.toml").recipe
    bench = Bench.begin(recipe, {"blend": 2_000_000}, batch_id="rings")
    return bench.goes_to(
        next(step.key for step in recipe.steps if isinstance(step, ConsistencyStep))
    ).run.entries


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
    entries = tuple(read(seq, line) for seq, line in enumerate(lines, start=1))
    end = entries[-1]
    assert isinstance(end.fact, BatchFinished)
    batch_id = store(folder, entries)
    closed = local(end.stamp)
    assert closed is not None
    return batch_id, closed.replace(tzinfo=None)


def store(folder: Path, entries: tuple[Entry, ...]) -> str:
    """Store entries as a batch; returns its id."""
    start = entries[0].fact
    assert isinstance(start, BatchStarted)
    journal = Journal.open(folder)
    try:
        journal.append(
            start.batch_id,
            [NewEvent(seq=entry.seq, kind=entry.fact.kind, body=written(entry)) for entry in entries],
        )
    finally:
        journal.close()
    return start.batch_id
