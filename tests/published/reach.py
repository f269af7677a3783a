"""Which functions of the program a representative set of its commands enters, seen by a profiler as they run."""

import contextlib
import io
import os
import sys
import tempfile
import threading
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from types import CodeType, FrameType
from unittest.mock import patch

import mixstation
from mixstation.batch.events import BatchStarted
from mixstation.cli.main import main
from mixstation.record.codec import read
from mixstation.record.journal import Journal
from tests.published.case import PublishedCase

PROGRAM = str(Path(mixstation.__file__).parent)
PINNED = Path(__file__).parents[1] / "pinned"

SLAB = ("--slab", "2 ft 3 in x 450 x 18 mm", "--face", "3 mm")
DAY = ("--shop", "86 °F", "--wanted", "20 °C", "--humidity", "45 %", "--wind", "8 mph")
COMMANDS: tuple[tuple[str, ...], ...] = (
    ("recipes", "bench_top"),
    ("plan", "bench_top", *SLAB, *DAY, "--pan", "515 g", "500 g", "--claim", "mix", "57.7 lb", "1/3 ft3"),
    ("plan", "planter_wall", "--mould", "12.4 kg at 18 °C", "--density", "129 lb/ft3"),
    (
        "plan",
        "planter_wall",
        "--total",
        "10 kg",
        "--free-moisture",
        "2 %",
        "--shop",
        "8 °C",
        "--wanted",
        "20 °C",
    ),
    (
        "recover",
        "hearth_plate",
        "--powder",
        "8 kg",
        "--in",
        "water=1.3 kg",
        "--in",
        "blend=4 kg",
        "--left",
        "15 min",
    ),
    ("records", "show", "PINNED"),
)
"""What a maker types; PINNED stands for a batch of `tests/pinned/`."""


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
        batch = _batch_in(Path(folder) / "data")
        for words in COMMANDS:
            said = io.StringIO()
            with watched(codes), contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
                code = main([batch if word == "PINNED" else word for word in words])
            assert code == 0, (words, said.getvalue())
    return named(codes)


def entered_by(case: PublishedCase) -> frozenset[str]:
    """Functions of the program that a published case proves."""
    codes: set[CodeType] = set()
    with watched(codes):
        case.compute()
    return named(codes)


def _batch_in(folder: Path) -> str:
    """A pinned batch, stored in a journal of its own."""
    lines = (PINNED / "planter_wall.jsonl").read_text("utf-8").splitlines()
    entries = [read(seq, line) for seq, line in enumerate(lines, start=1)]
    start = entries[0].fact
    assert isinstance(start, BatchStarted)
    journal = Journal.open(folder)
    try:
        for entry, line in zip(entries, lines, strict=True):
            journal.append(start.batch_id, entry.seq, entry.fact.kind, line)
    finally:
        journal.close()
    return start.batch_id
