"""The tables in the README are what the command would write now."""

import pytest

from mixstation.batch.refusal import Refusal
from tests.batch.making import Bench
from tests.mishaps.happened import MIXES, Mishap, Mix, bench_for
from tests.mishaps.page import BEGIN, END, README, mishaps, rewritten

CASES = [(mix, mishap) for mix in MIXES for mishap in mix.mishaps]


def test_the_readme_holds_what_the_command_writes() -> None:
    readme = README.read_text(encoding="utf-8")
    assert rewritten(readme) == readme, "run: python -m tests.mishaps"


def test_writing_twice_is_writing_once() -> None:
    once = rewritten(f"above\n{BEGIN}\nas it was\n{END}\nbelow\n")
    assert rewritten(once) == once
    assert once.startswith("above\n")
    assert once.endswith("\nbelow\n")
    assert "as it was" not in once


@pytest.mark.parametrize("marks", ["", BEGIN, END, END + BEGIN, BEGIN + END + END])
def test_a_readme_without_its_marks_is_left_alone(marks: str) -> None:
    with pytest.raises(ValueError, match="wanted one"):
        rewritten(f"above\n{marks}\nbelow\n")


def test_every_row_has_its_three_cells() -> None:
    rows = [line for line in mishaps().splitlines() if line.startswith("|")]
    assert len(rows) == len(CASES) + 2 * len(MIXES)
    assert {line.replace("\\|", "").count("|") for line in rows} == {4}


@pytest.mark.parametrize(("mix", "mishap"), CASES, ids=[mishap.what for _, mishap in CASES])
def test_it_happens_to_a_batch_that_goes_on_to_its_end(mix: Mix, mishap: Mishap) -> None:
    """Left as it is, every mishap still leads to the end of the steps."""
    bench: Bench = bench_for(mix, mishap)
    before = bench.run
    refusal = mishap.happens(bench)
    assert bench.run is not before
    assert refusal is None or isinstance(refusal, Refusal)
    bench.goes_through()
    assert bench.run.step is None
