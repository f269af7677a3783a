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

Outcome = Literal["killed", "hung", "survived", "unseen"]


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
        self._name = mutant.path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
        self._mutant = mutant

    def find_spec(self, fullname: str, path: object, target: ModuleType | None = None) -> ModuleSpec | None:
        if fullname != self._name:
            return None
        loader = _Changed(fullname, self._mutant)
        return importlib.util.spec_from_file_location(fullname, loader.path, loader=loader)


def begin(mutant: Mutant, tests: Sequence[str]) -> int:
    """Start a process that runs the tests on the change.

    Args:
        mutant: The change.
        tests: Ids of the tests that run its line, fastest first.

    Returns:
        The process's id; it exits with 0 only if every test passed.
    """
    assert not any(name.startswith("mixstation.") for name in sys.modules), (
        "the core must not be imported yet"
    )
    pid = os.fork()
    if pid:
        return pid
    code = 1
    try:
        os.setsid()
        quiet = os.open(os.devnull, os.O_RDWR)
        for number in (0, 1, 2):
            os.dup2(quiet, number)
        sys.meta_path.insert(0, _Finder(mutant))
        options = [
            "-x",
            "-q",
            "--no-header",
            "--tb=no",
            "-p",
            "no:cacheprovider",
            "-p",
            "no:xdist",
            "-p",
            "no:doctest",
        ]
        options += ["-W", "ignore::pytest.PytestAssertRewriteWarning"]
        code = int(pytest.main([*options, "-o", "addopts=--import-mode=importlib", *tests]))
    finally:
        os._exit(min(code, 100))


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
        return "survived" if os.waitstatus_to_exitcode(status) == 0 else "killed"
    if time.monotonic() < until_s:
        return None
    os.killpg(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    return "hung"
