"""The tool that tries changes: what it changes, and what it says of a change that is noticed, or is not."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.mutation.__main__ import explained
from tests.mutation.mutants import mutants_of

ROOT = Path(__file__).parents[2]
SAME = Path(__file__).with_name("same.toml")


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("a < b", {"a <= b", "a >= b"}),
        ("a >= b", {"a > b", "a < b"}),
        ("a == b", {"a != b"}),
        ("a not in b", {"a in b"}),
        ("a is None", {"a is not None"}),
        ("a + b", {"(a - b)", "a"}),
        ("a - b", {"(a + b)", "a"}),
        ("a * b", {"(a / b)"}),
        ("a // b", {"(a * b)"}),
        ("a and b", {"(a or b)", "a", "b"}),
        ("a or b or c", {"(a and b and c)", "(a or b)", "(b or c)", "(a or c)"}),
        ("not a", {"a"}),
        ("-a", {"a"}),
        ("max(a, b)", {"min(a, b)", "a", "b"}),
        ("any(a)", {"all(a)"}),
        ("a if b else c", {"a", "c"}),
        ("a[0]", {"a[-1]"}),
        ("True", {"False"}),
        ("3", {"4"}),
        ("1_000_000", {"2000000"}),
        ("[a for a in b if c]", {"[a for a in b]"}),
        ("(a, *b)", {"(*b,)", "(a,)"}),
    ],
)
def test_each_slip_of_a_programmer(before: str, after: set[str]) -> None:
    assert {one.after for one in mutants_of("a.py", f"x = {before}") if one.before == before} == after


@pytest.mark.parametrize("before", ["tell(a)", "a += b"])
def test_a_statement_that_only_acts_is_left_out(before: str) -> None:
    assert {one.after for one in mutants_of("a.py", before) if one.before == before} == {"pass"}


@pytest.mark.parametrize(
    "text",
    [
        'x = f"{a + b}"',
        "assert a < b",
        "raise ValueError(1)",
        "x: Literal[1]",
        "x = a['k']",
        "import a",
        "assert_never(a)",
    ],
)
def test_words_types_and_checks_stay(text: str) -> None:
    assert mutants_of("a.py", text) == ()


def test_a_change_is_applied_where_it_was_found() -> None:
    text = '"""Größe."""\nx = "µ", a < b\n'
    texts = [one.applied(text) for one in mutants_of("a.py", text)]
    assert texts == ['"""Größe."""\nx = "µ", a <= b\n', '"""Größe."""\nx = "µ", a >= b\n']
    with pytest.raises(ValueError, match="has changed"):
        mutants_of("a.py", text)[0].applied("x = 1")


SMALL = '''"""A bucket."""

LIMIT = 20
SPARE = 7


def full(mass: int) -> bool:
    """Whether no more goes in.

    >>> full(30)
    True
    """
    return mass >= LIMIT


def counted(mass: int) -> int:
    """Down to nothing."""
    while mass > 0:
        mass -= 1
    return mass


def unwatched(mass: int) -> int:
    """Run by no test."""
    return mass + 1
'''
CHECKS = """from small import counted, full


def test_full() -> None:
    assert full(20)


def test_not_full() -> None:
    assert not full(10)


def test_counted() -> None:
    assert counted(3) == 0
"""


def _run(folder: Path) -> subprocess.CompletedProcess[str]:
    what = ("--core", "small.py", "--tests", "checks", "small.py", "--learned", "learned.json")
    return subprocess.run(
        [
            sys.executable,
            "-m",
            "tests.mutation",
            "--sample",
            "0",
            "--slack",
            "5",
            *what,
            "--same",
            "same.toml",
        ],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.deep
def test_what_is_noticed_and_what_is_not(tmp_path: Path) -> None:
    pytest.importorskip("coverage")
    (tmp_path / "small.py").write_text(SMALL, encoding="utf-8")
    (tmp_path / "pytest.ini").write_text("[pytest]\naddopts = --doctest-modules\n", encoding="utf-8")
    (tmp_path / "checks").mkdir()
    (tmp_path / "checks" / "test_small.py").write_text(CHECKS, encoding="utf-8")
    (tmp_path / "same.toml").write_text(
        '[[same]]\npath = "small.py"\nline = "SPARE = 7"\nbefore = "7"\nafter = "8"\nreason = "Spare"\n',
        encoding="utf-8",
    )
    ended = _run(tmp_path)
    lines = json.loads((tmp_path / "learned.json").read_text(encoding="utf-8"))["lines"]["small.py"]
    tests_of_line = {test.partition("::")[2] for test in lines["13"]}
    assert tests_of_line == {"test_full", "test_not_full", "small.full"}, ended.stdout + ended.stderr
    # Noticed: the limit and each comparison. What nobody runs is not, and counting that never ends hangs.
    assert "{'hung': 1, 'killed': 7, 'same': 1, 'survived': 3}" in " ".join(ended.stdout.split())
    assert "survived small.py:25\n  - mass + 1\n  + (mass - 1)\n" in ended.stdout
    assert "8 noticed (72.7%); 1 change nothing" in ended.stdout
    assert ended.returncode == 1


def test_what_is_said_to_be_the_same_says_why_and_is_still_there() -> None:
    for one in explained(SAME):
        lines = (ROOT / one["path"]).read_text(encoding="utf-8").splitlines()
        assert one["line"] in [line.strip() for line in lines], one
        assert one["before"].splitlines()[0] in one["line"], one
        assert one["reason"].strip(), one
