"""A whole batch in the real screen, driven by key bytes of a number pad through a pty; and the same in lines."""

import contextlib
import json
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from mixstation.batch.events import WeightRecorded
from mixstation.batch.run import Run, fold
from mixstation.record.codec import stored_entries
from mixstation.record.journal import Journal
from tests.screens.terminal import ROOT, Terminal
from tests.station.number_pad import typed_at, typed_at_line
from tests.station.screen_program import ACCOUNT

pytestmark = pytest.mark.skipif(not Path("/dev/ptmx").exists(), reason="needs pseudo-terminals")

GRAM, NOISE_MG = 1_000, 100
PATIENCE_S = 280.0


def command(folder: Path, front: str) -> list[str]:
    return [sys.executable, "-m", "tests.station.screen_program", str(folder), front]


def stored(folder: Path) -> Run:
    journal = Journal.open(folder)
    try:
        (row,) = journal.batches()
        return fold(stored_entries(journal, row.batch_id))
    finally:
        journal.close()


def is_the_scales_account(folder: Path) -> None:
    run = stored(folder)
    poured = json.loads((folder / ACCOUNT).read_text(encoding="utf-8"))
    assert run.ended == "finished"
    for material in run.recipe.materials:
        weighed = [
            entry.fact
            for entry in run.live
            if isinstance(entry.fact, WeightRecorded) and entry.fact.material == material.key
        ]
        assert weighed
        assert {weight.source for weight in weighed} == {"scale"}
        off_mg = abs(run.content[material.key] - poured[material.name])
        assert off_mg <= len(weighed) * (GRAM + NOISE_MG), material.key


def test_by_number_pad_at_the_screen(tmp_path: Path) -> None:
    at = Terminal(tmp_path, command=command(tmp_path, "screen"))
    try:
        end_s = time.monotonic() + PATIENCE_S
        while at.process.poll() is None:
            assert time.monotonic() < end_s, at.text
            for key in typed_at(at.text):
                at.settle()
                at.send(key.encode())
            at.settle()
        assert at.ended() == 0
        is_the_scales_account(tmp_path)
    finally:
        at.close()


@pytest.mark.deep
def test_by_lines(tmp_path: Path) -> None:
    process = subprocess.Popen(
        command(tmp_path, "plain"), stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT
    )
    assert process.stdin is not None
    assert process.stdout is not None
    watchdog = threading.Timer(PATIENCE_S, process.kill)
    watchdog.start()
    try:
        for line in process.stdout:
            if typed := typed_at_line(line):
                # As long as a hand takes; a scale may still be on the move.
                time.sleep(0.5)
                with contextlib.suppress(BrokenPipeError):
                    process.stdin.write(typed)
                    process.stdin.flush()
        assert process.wait(90) == 0
        is_the_scales_account(tmp_path)
    finally:
        watchdog.cancel()
        process.kill()
        process.wait()
        with contextlib.suppress(BrokenPipeError):
            process.stdin.close()
        process.stdout.close()
