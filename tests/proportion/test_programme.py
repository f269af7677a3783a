"""The integer programme: right answers, honest outcomes, equal answers for equal programmes, nothing on the output."""

import os
import subprocess
import sys
from math import inf
from random import Random

import highspy
import pytest

from mixstation.proportion import programme as programme_module
from mixstation.proportion.programme import GAP, Linear, Programme, ProgrammeError, combine
from tests.proportion.scipy_cost import scipy_cost


def by_chance(dice: Random) -> tuple[Programme, Linear]:
    """A small programme of whole and real unknowns; half of them have no solution."""
    programme = Programme()
    unknowns = [
        programme.unknown(dice.choice((0, -3)), dice.choice((4, 9, 30)), whole=dice.random() < 0.7)
        for _ in range(dice.randrange(2, 7))
    ]
    for _ in range(dice.randrange(1, 6)):
        row = combine((dice.randrange(-9, 10) / 4, unknown) for unknown in unknowns)
        bound = dice.uniform(-20, 40)
        if dice.random() < 0.5:
            programme.at_most(row, bound)
        else:
            programme.at_least(row, bound)
    cost = combine([(1.0, Linear(3.0)), *((dice.uniform(-5, 9), unknown) for unknown in unknowns)])
    return programme, cost


@pytest.mark.parametrize("count", [150, pytest.param(700, marks=pytest.mark.deep)])
def test_costs_what_scipy_finds(count: int) -> None:
    dice, solved = Random(11), 0
    for _ in range(count):
        programme, cost = by_chance(dice)
        ours, theirs = programme.least(cost), scipy_cost(programme, cost)
        if theirs is None:
            assert (ours.outcome, ours.values, ours.cost) == ("infeasible", (), inf)
        else:
            assert ours.outcome == "optimal"
            assert ours.cost == pytest.approx(theirs, rel=1e-7, abs=2 * GAP)
            solved += 1
    assert count * 2 / 7 < solved < count * 13 / 14


def test_values_keep_rows_and_are_whole() -> None:
    dice = Random(12)
    for _ in range(60):
        programme, cost = by_chance(dice)
        found = programme.least(cost)
        for value, unknown in zip(found.values, programme.unknowns, strict=bool(found.values)):
            assert unknown.low - 1e-9 <= value <= unknown.high + 1e-9
            assert not unknown.whole or value == round(value)
        for row in programme.rows if found.values else ():
            assert row.low - 1e-7 <= found.of(Linear(0.0, row.factors)) <= row.high + 1e-7


def test_by_hand() -> None:
    """Packs of 7 and 4 kg for at least 25 kg at least mass: 3 × 7 + 4 = 25 exactly."""
    programme = Programme()
    large, small = programme.unknown(whole=True), programme.unknown(whole=True)
    mass = combine([(7.0, large), (4.0, small)])
    programme.at_least(mass, 25)
    found = programme.least(mass)
    assert (found.of(large), found.of(small), found.cost) == (3, 1, 25)


def test_without_end() -> None:
    programme = Programme()
    unknown = programme.unknown()
    programme.at_least(unknown, 1)
    assert programme.least(combine([(-1.0, unknown)])).outcome in ("unbounded", "infeasible")


def test_a_programme_no_solver_takes_is_an_error() -> None:
    programme = Programme()
    programme.unknown()
    programme.at_least(Linear(0.0, {5: 1.0}), 1)
    with pytest.raises(ProgrammeError) as caught:
        programme.least(Linear())
    assert caught.value.code == "not-loaded"


def test_stopped_at_a_limit_is_said() -> None:
    """A knapsack no one settles in a single node: what came of it is not called best."""
    dice = Random(3)
    programme = Programme()
    unknowns = [programme.unknown(0, 1, whole=True) for _ in range(60)]
    weights = [dice.randrange(1000, 2000) * 2 for _ in unknowns]
    programme.at_most(combine(zip(map(float, weights), unknowns, strict=True)), sum(weights) / 2 + 1)
    cost = combine((-(weight + 37.0), unknown) for weight, unknown in zip(weights, unknowns, strict=True))
    found = programme.least(cost, most_nodes=1)
    assert found.outcome == "stopped"
    packed = sum(weight for weight, value in zip(weights, found.values, strict=True) if value)
    assert 0 < packed <= sum(weights) / 2 + 1


def test_stopped_before_anything_was_found_is_said() -> None:
    """Which of thirty weights make two halves at once, no search says by its first node."""
    dice, programme = Random(5), Programme()
    unknowns = [programme.unknown(0, 1, whole=True) for _ in range(30)]
    for _ in range(2):
        weights = [dice.randrange(1, 100) for _ in unknowns]
        row = combine(zip(map(float, weights), unknowns, strict=True))
        programme.at_least(row, sum(weights) // 2)
        programme.at_most(row, sum(weights) // 2)
    found = programme.least(unknowns[0], most_nodes=1)
    assert (found.outcome, found.values, found.cost) == ("stopped", (), inf)


def test_the_solver_says_nothing_while_it_solves(capfd: pytest.CaptureFixture[str]) -> None:
    programme, cost = by_chance(Random(1))
    programme.least(cost)
    assert capfd.readouterr() == ("", "")


def test_equal_programmes_equal_answers() -> None:
    first = [by_chance(Random(seed)) for seed in range(20)]
    again = [by_chance(Random(seed)) for seed in range(20)]
    for (one, its_cost), (other, other_cost) in zip(first, again, strict=True):
        assert one.least(its_cost).values == other.least(other_cost).values


def test_combine_adds_factors_of_the_same_unknown() -> None:
    assert combine([(2.0, Linear(1.0, {0: 1.0})), (3.0, Linear(0.0, {0: 1.0, 1: 2.0}))]) == Linear(
        2.0, {0: 5.0, 1: 6.0}
    )


def test_the_solver_is_loaded_late_and_prints_nothing() -> None:
    code = (
        "import sys; import mixstation.proportion.programme as p; import mixstation.batch.ways;"
        "assert 'highspy' not in sys.modules and 'numpy' not in sys.modules;"
        "m = p.Programme(); x = m.unknown(0, 9, whole=True); m.at_least(x, 2.5);"
        "print(m.least(x).values)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "(3.0,)\n"
    assert done.stderr == ""


def test_what_the_solver_says_when_first_made_is_kept_from_the_output(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """Its first making writes to file descriptor 1, past Python; that may be a file of somebody's data."""
    made = []

    def first_says(*given: object) -> object:
        if not made:
            os.write(1, b"made by nobody")
        made.append(given)
        return real(*given)

    real = highspy.Highs
    monkeypatch.setattr(highspy, "Highs", first_says)
    programme_module._solver_module.cache_clear()
    programme = Programme()
    unknown = programme.unknown(2, 9)
    assert programme.least(unknown).cost == 2
    assert len(made) > 1
    assert capfd.readouterr().out == ""
