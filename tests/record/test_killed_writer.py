"""A writer killed at any moment, or whose disk fails at any call: what it acknowledged is there.

Killing a process says nothing of power cuts: the system keeps what was written but not flushed.
"""

import os
import signal
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from random import Random

import pytest

from mixstation.record.journal import Journal
from tests.record.power_cut import strace_works

WRITER = """
import os, sys
from pathlib import Path
from mixstation.record.journal import Journal
from mixstation.record.stored import NewEvent

journal = Journal.open(Path(sys.argv[1]))
seq = len(journal.events("wall-1"))
while True:
    # Decisions of four events, then of one.
    count = 4 if seq % 5 == 0 else 1
    journal.append("wall-1", [
        NewEvent(seq=each, kind="WeightRecorded", body="x" * (each * 37 % 9000))
        for each in range(seq + 1, seq + count + 1)
    ])
    seq += count
    os.write(1, b"%d\\n" % seq)
"""


def killed_after(count: int, folder: Path) -> int:
    """Kill a writer once it has acknowledged `count` decisions more; the last event it acknowledged."""
    with subprocess.Popen([sys.executable, "-c", WRITER, str(folder)], stdout=subprocess.PIPE) as writer:
        assert writer.stdout is not None
        said = b"".join(writer.stdout.readline() for _ in range(count))
        os.kill(writer.pid, signal.SIGKILL)
        said += writer.stdout.read()
    assert writer.returncode == -signal.SIGKILL
    whole_lines = said.splitlines(keepends=True)
    return int([line for line in whole_lines if line.endswith(b"\n")][-1])


def test_what_a_killed_writer_acknowledged_is_there(tmp_path: Path) -> None:
    random = Random(7)
    for count in (1, 2, 3, *(random.randrange(1, 30) for _ in range(20))):
        acknowledged_seq = killed_after(count, tmp_path)
        with closing(Journal.open(tmp_path)) as journal:
            held = journal.events("wall-1")
            assert journal.audit() == ()
            assert journal.notices() == ()
        under_way_count = 4 if acknowledged_seq % 5 == 0 else 1
        assert len(held) - acknowledged_seq in (0, under_way_count)
        assert [event.body for event in held] == ["x" * (event.seq * 37 % 9000) for event in held]


FAILING_WRITER = """
import sys
from contextlib import closing
from pathlib import Path
from mixstation.record.errors import JournalError
from mixstation.record.journal import Journal
from mixstation.record.stored import NewEvent

with closing(Journal.open(Path(sys.argv[1]))) as journal:
    start = len(journal.events("wall-1"))
    for first in range(start + 1, start + 9, 2):
        bodies = ["x" * 700 + str(seq) for seq in (first, first + 1)]
        events = [NewEvent(seq=seq, kind="k", body=body) for seq, body in enumerate(bodies, start=first)]
        try:
            journal.append("wall-1", events)
        except JournalError as error:
            held = [event.body for event in journal.events("wall-1")][first - 1:]
            assert {"present": held == bodies, "absent": held == [], "unknown": True}[error.outcome]
            print(error.code, error.outcome)
            journal.append_once("wall-1", events)
    assert len(journal.events("wall-1")) == start + 8
"""
CALLS_TO_FAIL = [
    *(("pwrite64", nth) for nth in range(2, 12)),
    *(("fdatasync", nth) for nth in range(1, 7)),
    *(("ftruncate", nth) for nth in range(1, 3)),
    *(("pread64", nth) for nth in range(8, 15)),  # the first load the program
]


@pytest.mark.skipif(not strace_works(), reason="needs strace, and the right to use it")
@pytest.mark.deep
def test_whichever_call_fails_nothing_acknowledged_is_lost(tmp_path: Path) -> None:
    """One call in turn fails with an input/output error; calls counted from the start of the process."""
    with closing(Journal.open(tmp_path)):
        pass
    told: set[tuple[str, ...]] = set()
    event_count = 0
    for call, nth in CALLS_TO_FAIL:
        fault = f"inject={call}:error=EIO:when={nth}"
        strace = ["strace", "-qq", "-o", os.devnull, "-e", f"trace={call}", "-e", fault]
        command = [*strace, sys.executable, "-c", FAILING_WRITER, str(tmp_path)]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        with closing(Journal.open(tmp_path)) as journal:
            assert journal.audit() == ()
            stored_count = len(journal.events("wall-1")) - event_count
            event_count += stored_count
        if done.returncode == 0:
            assert stored_count == 8, (call, nth)
            told.update(tuple(line.split()) for line in done.stdout.splitlines())
        else:
            assert "JournalError: " in done.stderr, (call, nth, done.stderr)
            assert stored_count == 0, (call, nth)
    assert told == {("storage-failed", "absent"), ("storage-failed", "present")}
