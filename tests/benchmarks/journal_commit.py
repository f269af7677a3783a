"""How long a commit takes against a bare write and flush, a decision against its events, and a large journal to open.

Run: python tests/benchmarks/journal_commit.py [--batches 5000] [--folder /where/the/disk/is]
"""

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from mixstation.record.chain import first_link, next_link
from mixstation.record.codec import read, written
from mixstation.record.durable import open_durable, transaction
from mixstation.record.journal import FILE_NAME, Journal
from mixstation.record.paths import flush_file
from mixstation.record.stored import NewEvent
from mixstation.record.witness import Claim, Witness, add_claim, write_witness

EVENTS_IN_A_BATCH = 300
COMMIT_COUNT = 400
DECISION_COUNT = 100
READ_COUNT = 5_000
PINNED = Path(__file__).parents[1] / "pinned" / "planter_wall.jsonl"
KIND = "WeightRecorded"
BODY = (
    '{"at":{"boot_id":"8c1b6d2e-3f1a-4a57-9b0f-2f5c7ab3d911","boot_ms":123456789,"monotonic_ms":123456789,'
    '"offset_min":60,"utc_ms":1773000000000},"how":"scale","mass_mg":4000000,"material":"white-cement",'
    '"step":"powder-1","text":"ST,GS,+  4.000kg"}'
)
START_ELSEWHERE = """
import sys
from pathlib import Path
from mixstation.record.journal import Journal
from tests.record.events import one
journal = Journal.open(Path(sys.argv[1]))
print(len(journal.events(journal.batches()[0].batch_id)))
"""


def seconds(call: Callable[[], object]) -> float:
    """How long a call takes."""
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def in_ms(times_s: list[float]) -> str:
    """Median and 99th percentile for a person to read."""
    p99_s = statistics.quantiles(times_s, n=100)[98]
    return f"median {statistics.median(times_s) * 1e3:.2f} ms, p99 {p99_s * 1e3:.2f} ms"


def compare_commits(journal: Journal, folder: Path) -> None:
    """Append events and write the same bytes bare, turn by turn, so that both meet the same disk."""
    commits_s: list[float] = []
    bare_s: list[float] = []
    witness_s: list[float] = []
    beside = folder / "beside"
    beside.mkdir(exist_ok=True)
    write_witness(beside, Witness())
    content = BODY.encode()
    bare = os.open(folder / "bare", os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)

    def write_bare() -> None:
        os.write(bare, content)
        flush_file(bare)

    for seq in range(1, COMMIT_COUNT + 1):
        event = NewEvent(seq=seq, kind=KIND, body=BODY)
        commits_s.append(seconds(lambda: journal.append("wall-1", [event])))  # noqa: B023
        bare_s.append(seconds(write_bare))
        claim = Claim(batch_id="wall-1", entry_count=seq, head="0" * 64)
        witness_s.append(seconds(lambda: add_claim(beside, claim)))  # noqa: B023
    os.close(bare)
    ratio = statistics.median(commits_s) / statistics.median(bare_s)
    print(f"event of {len(content)} bytes: commit {in_ms(commits_s)}")
    print(f"bare write and flush of the same bytes: {in_ms(bare_s)}; commit / bare = {ratio:.1f}")
    without_s = statistics.median(commits_s) - statistics.median(witness_s)
    print(
        f"the witness in it: {in_ms(witness_s)}; commit with / without = {statistics.median(commits_s) / without_s:.3f}"
    )


def compare_decisions(journal: Journal) -> None:
    """Store decisions of several events whole and event by event, turn by turn."""
    for size in (2, 4, 8):
        whole_s: list[float] = []
        singly_s: list[float] = []
        for turn in range(DECISION_COUNT):
            events = [
                NewEvent(seq=seq, kind=KIND, body=BODY)
                for seq in range(turn * size + 1, turn * size + size + 1)
            ]
            whole_s.append(seconds(lambda: journal.append(f"whole-{size}", events)))  # noqa: B023
            singly_s.append(
                seconds(lambda: [journal.append(f"singly-{size}", [event]) for event in events])  # noqa: B023
            )
        ratio = statistics.median(whole_s) / statistics.median(singly_s)
        print(
            f"decision of {size} events stored whole: {in_ms(whole_s)}; whole / event by event = {ratio:.2f}"
        )


def compare_reading() -> None:
    """Read entries of a whole batch, against a bare reading of their JSON."""
    lines = [line for line in PINNED.read_text("utf-8").splitlines() if line]
    old = (lines * (READ_COUNT // len(lines) + 1))[:READ_COUNT]
    new = [written(read(seq, body)) for seq, body in enumerate(lines, start=1)]
    new = (new * (READ_COUNT // len(new) + 1))[:READ_COUNT]
    for what, bodies in (("of an earlier form", old), ("of the form of now", new)):
        bare_s = [seconds(lambda: [json.loads(body) for body in bodies]) for _ in range(5)]  # noqa: B023
        read_s = [seconds(lambda: [read(1, body) for body in bodies]) for _ in range(5)]  # noqa: B023
        ratio = statistics.median(read_s) / statistics.median(bare_s)
        print(
            f"{READ_COUNT} entries {what} read: {statistics.median(read_s):.2f} s; read / bare JSON = {ratio:.1f}"
        )


def fill(folder: Path, batch_count: int) -> None:
    """Store batches in one transaction: only to have a large file soon."""
    with closing(Journal.open(folder)):
        pass
    with closing(open_durable(folder / FILE_NAME)) as connection, transaction(connection):
        for number in range(1, batch_count + 1):
            batch_id = f"batch-{number:06d}"
            connection.execute("INSERT INTO batch VALUES (?, ?)", (number, batch_id))
            link = first_link(batch_id.encode())
            rows = []
            for seq in range(1, EVENTS_IN_A_BATCH + 1):
                link = next_link(link, seq, KIND.encode(), BODY.encode())
                rows.append((number, seq, KIND, BODY, link))
            connection.executemany("INSERT INTO event VALUES (?, ?, ?, ?, ?)", rows)


def measure_large(folder: Path, batch_count: int) -> None:
    """Open, list, read, append and audit with many batches stored."""
    filling_s = seconds(lambda: fill(folder, batch_count))
    size_mb = (folder / FILE_NAME).stat().st_size / 1e6
    event_count = batch_count * EVENTS_IN_A_BATCH
    print(f"{event_count} events in {batch_count} batches: {size_mb:.0f} MB, made in {filling_s:.0f} s")
    command = [sys.executable, "-c", START_ELSEWHERE, str(folder)]
    elsewhere_s = [
        seconds(lambda: subprocess.run(command, check=True, capture_output=True)) for _ in range(7)
    ]
    bare_python_s = [
        seconds(lambda: subprocess.run([sys.executable, "-c", ""], check=True)) for _ in range(7)
    ]
    opening_s = [seconds(lambda: Journal.open(folder).close()) for _ in range(7)]
    print(
        f"new process to the newest batch read: median {statistics.median(elsewhere_s):.3f} s,"
        f" of which Python alone {statistics.median(bare_python_s):.3f} s; opening alone {in_ms(opening_s)}"
    )
    with closing(Journal.open(folder)) as journal:
        oldest = "batch-000001"
        print(f"list of batches: {seconds(journal.batches) * 1e3:.0f} ms")
        print(
            f"oldest batch read and its chain checked: {seconds(lambda: journal.events(oldest)) * 1e3:.1f} ms"
        )
        compare_commits(journal, folder)
        print(f"audit of all chains and the file's structure: {seconds(journal.audit):.1f} s")
        print(f"copy: {seconds(lambda: journal.back_up(folder / 'copy')):.1f} s")


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--batches", type=int, default=5000)
    parser.add_argument(
        "--folder", type=Path, help="where to make the files; a folder in memory proves nothing"
    )
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory(dir=chosen.folder) as folder:
        with closing(Journal.open(Path(folder, "small"))) as journal:
            compare_commits(journal, Path(folder))
            compare_decisions(journal)
        compare_reading()
        measure_large(Path(folder, "large"), chosen.batches)


if __name__ == "__main__":
    main()
