"""Work every kept figure out again: `python -m tests.figures`, with `--keep` to keep what they are now.

A figure that a change was not meant to touch is a fault; one that was meant is read here, then kept. Pinned figures
prove nothing right, they only let no change go by unseen.
"""

import argparse
import sys
from collections.abc import Callable, Iterable
from typing import Any, Protocol

from tests.figures import batches, plans, ways
from tests.figures.compared import HERE, differences, kept, write


class Ledger(Protocol):
    """A module with cases.

    Attributes:
        FILE: Name of the file they are kept in.
        cases: Their names, in the order of the file.
        figures: What one of them comes to today, as JSON holds it.
    """

    FILE: str
    cases: Callable[[], Iterable[str]]
    figures: Callable[[str], Any]


LEDGERS: tuple[Ledger, ...] = (plans, batches, ways)


def main() -> int:
    """Say what differs from what was kept; 1 where anything does and it is not kept."""
    parser = argparse.ArgumentParser(prog="python -m tests.figures", description=__doc__)
    parser.add_argument("--keep", action="store_true", help="keep the figures as they are now")
    keep = parser.parse_args().keep
    found_count = 0
    for ledger in LEDGERS:
        now = {name: ledger.figures(name) for name in ledger.cases()}
        before = kept(ledger.FILE) if (HERE / ledger.FILE).exists() else {}
        for name in {**before, **now}:
            for found in differences(before.get(name), now.get(name)):
                found_count += 1
                print(f"{ledger.FILE} {name} {found}")
        if keep:
            write(ledger.FILE, now.items())
    print(f"{found_count} differences" + (", kept" if keep else ""))
    return 1 if found_count and not keep else 0


if __name__ == "__main__":
    sys.exit(main())
