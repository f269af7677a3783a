"""Mixes the scripted batch on a real journal in a process made to be killed.

It loads everything once, then for every line on its input, the name of a folder, it becomes two: the child mixes
in that folder. The child says its process, then the events of each decision once the journal has them, and waits
after each for a byte that lets it go on; its end is said too.
"""

import os
import sys
from collections.abc import Sequence
from pathlib import Path

from mixstation.record.journal import Journal
from mixstation.record.stored import NewEvent, StoredEvent
from tests.station.clock import HandClock
from tests.station.scripted import begun, work

GONE = "gone"


class Acknowledging(Journal):
    """Says what it has stored."""

    clock: HandClock

    def append(self, batch_id: str, events: Sequence[NewEvent]) -> tuple[StoredEvent, ...]:
        stored = super().append(batch_id, events)
        say(" ".join([str(self.clock.mono_ms), *(event.chain for event in stored)]))
        if not os.read(0, 1):
            os._exit(3)
        return stored


def say(text: str) -> None:
    os.write(1, f"{text}\n".encode())


def mix(folder: str) -> None:
    say(str(os.getpid()))
    journal = Acknowledging.open(Path(folder))
    assert isinstance(journal, Acknowledging)
    journal.clock = HandClock()
    work(begun(journal, journal.clock), journal.clock)
    journal.close()
    say("through")


def main() -> None:
    line = b""
    while byte := os.read(0, 1):
        if byte != b"\n":
            line += byte
            continue
        child = os.fork()
        if child == 0:
            mix(line.decode())
            os._exit(0)
        os.waitpid(child, 0)
        say(GONE)
        line = b""


if __name__ == "__main__":
    sys.exit(main())
