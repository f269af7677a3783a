"""One change tried in a process of its own: the module with the change is imported in place of the file's."""

import importlib.abc
import importlib.machinery
import importlib.util
import os
import signal
import sys
import time
from collections.abc import Sequence
from importlib.machinery import ModuleSpec
from pathlib import Path
from types import CodeType, ModuleType
from typing import Literal

import pytest

from tests.mutation.mutants import Mutant

# "unseen": no test runs the line. "not run": the tests are no longer the ones that were learned.
Outcome = Literal["killed", "hung", "survived", "unseen", "same", "not run"]
FIRST_COUNT = 30
_NOT_RUN = 2
_OPTIONS = (
    *("-x", "-q", "--no-header", "--tb=no", "-p", "no:cacheprovider", "-p", "no:xdist"),
    # Else pytest would load a module whose own examples are run from its file, past the change.
    "--assert=plain",
    *("-o", "addopts=--doctest-modules --import-mode=importlib"),
)


class _Changed(importlib.machinery.SourceFileLoader):
    """Loads a module from its file, but with the change."""

    def __init__(self, name: str, mutant: Mutant) -> None:
        super().__init__(name, str(Path(mutant.path).resolve()))
        self._mutant = mutant

    def get_code(self, fullname: str) -> CodeType:
        text = self._mutant.applied(Path(self._mutant.path).read_text(encoding="utf-8"))
        return compile(text, self.path, "exec", dont_inherit=True)


class _Finder(importlib.abc.MetaPathFinder):
    def __init__(self, mutant: Mutant) -> None:
        self.name = mutant.path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
        self._mutant = mutant

    def find_spec(self, fullname: str, path: object, target: ModuleType | None = None) -> ModuleSpec | None:
        if fullname != self.name:
            return None
        loader = _Changed(fullname, self._mutant)
        return importlib.util.spec_from_file_location(fullname, loader.path, loader=loader)


class _Notices:
    """A plug-in of pytest: whether a test failed, or could not be imported because of the change."""

    def __init__(self) -> None:
        self.any = False

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.any |= report.failed

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        self.any |= report.failed


def begin(mutant: Mutant, tests: Sequence[str]) -> int:
    """Start a process that runs the tests on the change.

    Args:
        mutant: The change.
        tests: Ids of the tests that run its line, fastest first.

    Returns:
        The process's id; it exits with 0 if every test passed, with 1 if one failed, with 2 if they cannot be run.

    Raises:
        RuntimeError: The module is already imported here, so that its change would not be.
    """
    finder = _Finder(mutant)
    if finder.name in sys.modules:
        raise RuntimeError(f"{finder.name} is already imported")
    pid = os.fork()
    if pid:
        return pid
    # Where the harness itself fails, nothing was noticed.
    code = _NOT_RUN
    try:
        os.setsid()
        quiet = os.open(os.devnull, os.O_RDWR)
        for number in (0, 1, 2):
            os.dup2(quiet, number)
        sys.meta_path.insert(0, finder)
        code = _tried(tests)
    finally:
        os._exit(code)


def _tried(tests: Sequence[str]) -> int:
    """Few tests notice most changes, and thousands take long to collect: first the fastest alone."""
    for some in filter(None, (tests[:FIRST_COUNT], tests[FIRST_COUNT:])):
        notices = _Notices()
        ended = pytest.main([*_OPTIONS, *some], plugins=[notices])
        if notices.any:
            return 1
        if ended != pytest.ExitCode.OK:
            return _NOT_RUN
    return 0


def end(pid: int, until_s: float) -> Outcome | None:
    """How a trial went.

    Args:
        pid: As `begin` gave it.
        until_s: Monotonic time at which a trial that still runs is ended: the change made it hang.

    Returns:
        Its outcome, or None while it runs.
    """
    done, status = os.waitpid(pid, os.WNOHANG)
    if done:
        code = os.waitstatus_to_exitcode(status)
        return {0: "survived", 1: "killed"}.get(code, "not run")
    if time.monotonic() < until_s:
        return None
    os.killpg(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    return "hung"
