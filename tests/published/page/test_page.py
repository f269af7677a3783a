"""The page of all published checks."""

import subprocess
import sys
from pathlib import Path

from tests.published.case import Figure, PublishedCase
from tests.published.page import counted, table
from tests.published.test_all_cases import all_cases

ROOT = Path(__file__).parents[3]


def test_a_row_says_all_of_a_case() -> None:
    case = PublishedCase(
        source="A [std]",
        place="table 1 | left",
        what="mass",
        expected=2.5,
        tolerance=0.5,
        unit="kg",
        compute=lambda: 2.25,
    )
    assert table([case]).splitlines()[-1] == (
        "| A [std] | table 1 \\| left | mass | printed | 2.5 | 2.25 | -0.25 | 0.5 | kg |"
    )


def test_what_was_worked_out_is_counted_apart() -> None:
    def case(figure: Figure, source: str) -> PublishedCase:
        return PublishedCase(
            source=source,
            place="",
            what="",
            expected=1,
            tolerance=0,
            unit="",
            compute=lambda: 1,
            figure=figure,
        )

    said = counted(
        [
            case("printed", "A [std]"),
            case("printed", "B [mem]"),
            case("worked out", "B [mem]"),
            case("worked out", "C [data]"),
            case("worked out", "C [data]"),
            case("disagrees", "A [std]"),
        ]
    )
    assert said.startswith("2 printed values (1 of them from memory")
    assert ", 3 values worked out" in said
    assert ", 1 printed that this program does not give again. 0 of them" in said


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
    assert lines[0] == counted(all_cases())
    assert len(lines) == 4 + len(all_cases())
    assert {line.count(" | ") for line in lines[4:]} == {8}
