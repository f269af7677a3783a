"""Every published case of this folder, and the form each source file keeps."""

import importlib
import math
from pathlib import Path
from types import ModuleType

import pytest

from tests.published.case import PublishedCase

NOT_SOURCES = {"__init__", "case", "concrete", "reach", "test_all_cases", "test_reach"}
MARKS = ("[std]", "[mem]", "[data]", "[practice]")


def source_modules() -> list[ModuleType]:
    """The source files of this folder, in the order of their names."""
    stems = sorted({path.stem for path in Path(__file__).parent.glob("*.py")} - NOT_SOURCES)
    return [importlib.import_module(f"tests.published.{stem}") for stem in stems]


def all_cases() -> list[PublishedCase]:
    """The cases of all sources, in the order of their files."""
    return [case for module in source_modules() for case in module.CASES]


@pytest.mark.parametrize("case", all_cases(), ids=lambda case: f"{case.source}, {case.place}: {case.what}")
def test_agrees_with_the_published_value(case: PublishedCase) -> None:
    value = case.compute()
    assert case.holds(value) is (case.figure != "disagrees"), (
        f"{value} {case.unit}, off by {case.deviation(value)}, allowed {case.tolerance}"
    )


@pytest.mark.parametrize("module", source_modules(), ids=lambda module: module.__name__)
def test_source_file_says_where_its_values_come_from(module: ModuleType) -> None:
    assert module.__doc__
    assert any(mark in module.__doc__ for mark in MARKS)
    assert "tolerance" in module.__doc__.lower()
    assert module.CASES
    for case in module.CASES:
        assert case.source
        assert case.place
        assert case.what
        assert any(mark in case.source for mark in MARKS)
        assert math.isfinite(case.expected)
        assert math.isfinite(case.tolerance)
        assert case.tolerance >= 0


def test_most_values_are_printed_and_stand_once() -> None:
    """Values worked out, and values this program does not give again, do not count towards them."""
    printed = [case for case in all_cases() if case.figure == "printed"]
    assert len(printed) >= 100
    assert len({(case.source, case.place, case.what) for case in printed}) == len(printed)


def test_a_case_fails_outside_its_tolerance() -> None:
    case = PublishedCase(
        source="[practice]", place="-", what="-", expected=2.0, tolerance=0.5, unit="kg", compute=lambda: 2.0
    )
    assert case.holds(2.5)
    assert case.holds(1.5)
    assert not case.holds(2.51)
    assert not case.holds(1.49)
    assert not case.holds(math.nan)
