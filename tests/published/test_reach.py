"""Every published case proves code that a command runs, and every public formula is run by one."""

import inspect
import pkgutil
from importlib import import_module

import pytest

from mixstation import proportion
from tests.published.case import PublishedCase
from tests.published.reach import entered_by, entered_by_commands
from tests.published.test_all_cases import all_cases


@pytest.mark.parametrize("case", all_cases(), ids=lambda case: f"{case.source}, {case.place}: {case.what}")
def test_a_case_goes_through_code_that_a_command_runs(case: PublishedCase) -> None:
    proved = entered_by(case)
    assert proved, "the case looks at no code at all"
    assert not proved - entered_by_commands()


def test_every_public_formula_is_run_by_a_command() -> None:
    public = set()
    for found in pkgutil.iter_modules(proportion.__path__):
        module = import_module(f"mixstation.proportion.{found.name}")
        public |= {
            f"proportion/{found.name}.py:{name}"
            for name, function in inspect.getmembers(module, inspect.isfunction)
            if function.__module__ == module.__name__ and not name.startswith("_")
        }
    assert len(public) > 30
    assert not public - entered_by_commands()


def test_a_function_no_command_runs_is_seen() -> None:
    def unreached() -> float:
        from mixstation.toml.lines import FileFault

        return float(len(FileFault.__name__))

    from mixstation.cli.emulate import obey
    from mixstation.scale.emulator import EmulatedScale

    case = PublishedCase(
        source="[practice]",
        place="-",
        what="-",
        expected=0,
        tolerance=0,
        unit="",
        compute=lambda: float(obey(EmulatedScale(), "stop") is None),
    )
    assert "cli/emulate.py:obey" in entered_by(case) - entered_by_commands()
