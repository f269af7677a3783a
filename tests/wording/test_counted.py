"""Counts in sentences: one thing is never called by the word for several, and no code stands where words should."""

import re
from pathlib import Path

import pytest

import mixstation
from mixstation.record.errors import _SQLITE_CODES, _SYSTEM_CODES
from mixstation.wording.counted import counted
from mixstation.wording.storage_lines import trouble_words
from mixstation.wording.view_lines import saving_late

NEVER_ONE = frozenset(
    {
        ("wording/file_faults.py", "bytes"),
        ("wording/file_faults.py", "characters"),
        ("wording/file_faults.py", "parts"),
        ("wording/proportion_lines.py", "divisions"),
        ("wording/cure_faults.py", "days"),
        # Limits of the program, said to developers.
        ("wording/plan_sheet.py", "rows"),
        ("wording/plan_sheet.py", "columns"),
        # More than a screen holds, and one of those is left out too.
        ("wording/planning.py", "lines"),
        # Where there is one it is "this bucket", "the bucket", or nothing is said.
        ("wording/planning.py", "bucketfuls"),
        ("wording/planning.py", "buckets"),
        ("wording/planning.py", "times"),
        ("wording/plan_sections.py", "fills"),
        ("wording/plan.py", "buckets"),
        ("wording/plan.py", "bucketfuls"),
        # What is refused is below one or far above.
        ("wording/piece_lines.py", "pieces"),
        ("wording/piece_lines.py", "corners"),
        ("wording/plan_file_faults.py", "corners"),
        ("wording/plan_file_faults.py", "days"),
        # What is refused is none or several.
        ("wording/profile_faults.py", "frames"),
        ("wording/profile_faults.py", "texts"),
    }
)
COUNTED = re.compile(r"\{(?:[a-z_.]*count|len\([^{}]*\)[^{}]*|limit)\} (?:more )?(?!was|is)([a-z]+s)\b")


def test_several_is_said_only_of_several() -> None:
    package = Path(mixstation.__file__).parent
    found = {
        (str(path.relative_to(package)), word)
        for path in package.rglob("*.py")
        for word in COUNTED.findall(path.read_text("utf-8"))
    }
    assert found - NEVER_ONE == set()


@pytest.mark.parametrize(("count", "said"), [(0, "0 entries"), (1, "1 entry"), (2, "2 entries")])
def test_one_and_several(count: int, said: str) -> None:
    assert counted(count, "entry", "entries") == said
    assert said in saving_late(count, "disk-full")


@pytest.mark.parametrize(
    "code", sorted({*_SQLITE_CODES.values(), *_SYSTEM_CODES.values(), "storage-failed", "odd"})
)
def test_the_banner_says_why_in_words(code: str) -> None:
    words = trouble_words(code)
    assert " " in words
    assert code not in saving_late(1, code)
