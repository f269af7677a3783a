"""Which tests run which lines of the core, and how long each takes: learned by one run of them under coverage."""

import argparse
import json
import os
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

import coverage
import pytest

# Of the long runs those that are quick one by one.
_THESE = "not deep or pinned"


class Watcher:
    """A plug-in of pytest that tells coverage which test is running, and times it."""

    def __init__(self, cover: coverage.Coverage) -> None:
        """Watch with this coverage, already started."""
        self._cover = cover
        self.took_s: dict[str, float] = {}
        self.failed: set[str] = set()

    @pytest.hookimpl(hookwrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """One test, from its fixtures to their end."""
        self._cover.switch_context(item.nodeid)
        began_s = time.perf_counter()
        yield
        self.took_s[item.nodeid] = time.perf_counter() - began_s
        self._cover.switch_context("")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Remember what failed."""
        if report.failed:
            self.failed.add(report.nodeid)


def learn(of: Sequence[str], by: Sequence[str], to: Path) -> None:
    """Run the tests once and write what each one runs to a file.

    Args:
        of: Patterns of the source files whose lines count.
        by: Files and folders of tests.
        to: A JSON file: for each source file the tests of each line, fastest first.

    Raises:
        RuntimeError: The tests could not be run to their end.
    """
    cover = coverage.Coverage(data_file=None, include=list(of), concurrency="thread")
    cover.start()
    watcher = Watcher(cover)
    code = pytest.main(
        ["-q", "--tb=no", "-p", "no:cacheprovider", "-p", "no:xdist", "-m", _THESE, *by], plugins=[watcher]
    )
    cover.stop()
    if code not in (pytest.ExitCode.OK, pytest.ExitCode.TESTS_FAILED):
        raise RuntimeError(f"The tests could not be run: {code}")
    for test in sorted(watcher.failed):
        print(f"left out, as it fails without any change: {test}")
    data = cover.get_data()
    lines = {
        os.path.relpath(measured): {
            str(line): sorted({*tests} - {""} - watcher.failed, key=watcher.took_s.__getitem__)
            for line, tests in data.contexts_by_lineno(measured).items()
        }
        for measured in data.measured_files()
    }
    to.write_text(json.dumps({"took_s": watcher.took_s, "lines": lines}), encoding="utf-8")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(prog="python -m tests.mutation.seen", description=__doc__)
    parser.add_argument("to", type=Path)
    parser.add_argument("--of", nargs="+", required=True, help="source files, as patterns")
    parser.add_argument("--by", nargs="+", required=True, help="files and folders of tests")
    asked = parser.parse_args()
    learn(asked.of, asked.by, asked.to)
