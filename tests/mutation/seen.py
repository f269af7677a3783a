"""Which tests run which lines of the core, and how long each takes: learned by one run of them under coverage."""

import json
import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import coverage
import pytest

# Tests that run the core in their own process; those of screens and commands mostly start others.
FOLDERS = (
    *("proportion", "recipe", "plan", "batch", "published", "worked"),
    *("record", "account", "wording", "station", "mishaps", "planning"),
)


class Watcher:
    """A plug-in of pytest that tells coverage which test is running, and times it."""

    def __init__(self, cover: coverage.Coverage) -> None:
        """Watch with this coverage, already started."""
        self._cover = cover
        self.took_s: dict[str, float] = {}

    @pytest.hookimpl(hookwrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """One test, from its fixtures to their end."""
        self._cover.switch_context(item.nodeid)
        began_s = time.perf_counter()
        yield
        self.took_s[item.nodeid] = time.perf_counter() - began_s
        self._cover.switch_context("")


def learn(packages: tuple[str, ...], to: Path, folders: tuple[str, ...] = FOLDERS) -> None:
    """Run the tests once and write what each one runs to a file.

    Args:
        packages: Of the core, whose lines count.
        to: A JSON file: for each source file the tests of each line, fastest first.
        folders: Of tests.

    Raises:
        RuntimeError: A test failed: nothing can be learned from a suite that is not green.
    """
    sources = [f"mixstation/{package}/*" for package in packages]
    cover = coverage.Coverage(data_file=None, include=sources, concurrency="thread")
    cover.start()
    watcher = Watcher(cover)
    paths = [*(f"tests/{folder}" for folder in folders), *(f"mixstation/{package}" for package in packages)]
    code = pytest.main(["-q", "-p", "no:cacheprovider", "-p", "no:xdist", *paths], plugins=[watcher])
    cover.stop()
    if code != pytest.ExitCode.OK:
        raise RuntimeError("The tests must pass before they are tried on changes")
    data = cover.get_data()
    lines: dict[str, dict[str, list[str]]] = {}
    for measured in data.measured_files():
        by_line = data.contexts_by_lineno(measured)
        lines[os.path.relpath(measured)] = {
            str(line): sorted((test for test in tests if test), key=watcher.took_s.__getitem__)
            for line, tests in by_line.items()
        }
    to.write_text(json.dumps({"took_s": watcher.took_s, "lines": lines}), encoding="utf-8")


if __name__ == "__main__":
    learn(tuple(sys.argv[2:]), Path(sys.argv[1]))
