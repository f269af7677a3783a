"""The page of all published checks."""

import subprocess
import sys
from pathlib import Path

from tests.published.case import PublishedCase
from tests.published.page import table
from tests.published.test_all_cases import all_cases

ROOT = Path(__file__).parents[3]


def test_a_row_says_all_of_a_case() -> None:
    case = PublishedCase(
        source="A [std]",
        place="table 1 | left",
        what="mass",
        printed=2.5,
        tolerance=0.5,
        unit="kg",
        compute=lambda: 2.25,
    )
    assert table([case]).splitlines()[-1] == (
        "| A [std] | table 1 \\| left | mass | 2.5 | 2.25 | -0.25 | 0.5 | kg |"
    )


def test_the_command_prints_a_row_for_every_case() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "tests.published.page"],
        cwd=ROOT,
        capture_output=True,
        encoding="utf-8",
        env={"PYTHONUTF8": "1"},
        check=True,
    )
    lines = done.stdout.splitlines()
    assert lines[0] == f"{len(all_cases())} checks against published values."
    assert len(lines) == 4 + len(all_cases())
    assert {line.count(" | ") for line in lines[4:]} == {7}
