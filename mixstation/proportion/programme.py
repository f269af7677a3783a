"""A mixed-integer linear programme: whole and real unknowns, linear rows, one linear cost to make least.

The solver is loaded on first use. Equal programmes give equal answers: the limit that normally ends a long search is
a count of nodes, and the clock is only a last resort.
"""

import os
import sys
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from math import inf
from types import ModuleType
from typing import TYPE_CHECKING, Literal

from mixstation.frozen import Frozen

if TYPE_CHECKING:
    import highspy

# Choice: a mix of a dozen materials is settled in tens of nodes; more would be noticed at the bucket.
MOST_NODES = 2_000
# Choice: seconds after which an answer no longer serves.
LONGEST_S = 2.0
# Choice: rows are in grams and litres, so this is a thousandth of a microgram.
FEASIBILITY = 1e-9

# Choice: costs are in thousandths of a batch, so this is a few thousandths of a gram.
GAP = 1e-4
# Choice: on programmes this small the bare search is four times as fast as with threads, heuristics and presolve.
_OPTIONS: tuple[tuple[str, bool | float | str], ...] = (
    ("output_flag", False),
    ("mip_rel_gap", 0.0),
    ("mip_abs_gap", GAP),
    ("primal_feasibility_tolerance", FEASIBILITY),
    ("mip_feasibility_tolerance", FEASIBILITY),
    ("parallel", "off"),
    ("presolve", "off"),
    ("mip_allow_restart", False),
    ("mip_detect_symmetry", False),
    ("mip_heuristic_effort", 0.0),
    ("mip_heuristic_run_feasibility_jump", False),
    ("mip_heuristic_run_rins", False),
    ("mip_heuristic_run_rens", False),
    ("mip_heuristic_run_root_reduced_cost", False),
)

SolverOutcome = Literal["optimal", "infeasible", "unbounded", "stopped"]


class ProgrammeError(RuntimeError):
    """The solver refused a programme or failed on it.

    Attributes:
        code: "not-loaded" or "not-solved".
        status: The solver's own word for it.
    """

    def __init__(self, code: str, status: str) -> None:
        super().__init__(f"{code}: {status}")
        self.code = code
        self.status = status


@dataclass(frozen=True, slots=True)
class Linear:
    """A linear expression: a constant and a factor for each unknown, by its place in the programme."""

    constant: float = 0.0
    factors: Mapping[int, float] = field(default_factory=dict)


def combine(parts: Iterable[tuple[float, Linear]]) -> Linear:
    """Sum of expressions, each times a factor.

    Example:
        >>> combine([(2.0, Linear(1.0, {0: 3.0})), (-1.0, Linear(0.5, {1: 1.0}))])
        Linear(constant=1.5, factors={0: 6.0, 1: -1.0})
    """
    constant = 0.0
    factors: dict[int, float] = {}
    for factor, part in parts:
        constant += factor * part.constant
        for place, value in part.factors.items():
            factors[place] = factors.get(place, 0.0) + factor * value
    return Linear(constant, factors)


class Unknown(Frozen):
    """One unknown: `low` to `high`, whole or real."""

    low: float
    high: float
    whole: bool


class LinearRow(Frozen):
    """`low` <= sum of factor times unknown <= `high`."""

    factors: Mapping[int, float]
    low: float
    high: float


class Solution(Frozen):
    """What came of it.

    Attributes:
        outcome: "optimal" is proven best; "stopped" is the best found when a limit was reached.
        cost: Of the values; infinite where there are none.
        values: Of the unknowns, whole ones exactly whole; empty where none were found.
    """

    outcome: SolverOutcome
    cost: float
    values: tuple[float, ...]

    def of(self, linear: Linear) -> float:
        """Value of an expression."""
        return linear.constant + sum(factor * self.values[place] for place, factor in linear.factors.items())


class Programme:
    """Unknowns and rows, put together one by one.

    Example:
        >>> mix = Programme()
        >>> bags = mix.unknown(0, 10, whole=True)
        >>> mix.at_least(combine([(25.0, bags)]), 60)
        >>> mix.least(bags).values
        (3.0,)
    """

    __slots__ = ("rows", "unknowns")

    def __init__(self) -> None:
        self.unknowns: list[Unknown] = []
        self.rows: list[LinearRow] = []

    def unknown(self, low: float = 0.0, high: float = inf, *, whole: bool = False) -> Linear:
        """A new unknown.

        Args:
            high: Most value, at least `low`.
        """
        self.unknowns.append(Unknown(low=low, high=high, whole=whole))
        return Linear(0.0, {len(self.unknowns) - 1: 1.0})

    def at_most(self, linear: Linear, high: float) -> None:
        """The expression is at most `high`."""
        self.rows.append(LinearRow(factors=linear.factors, low=-inf, high=high - linear.constant))

    def at_least(self, linear: Linear, low: float) -> None:
        """The expression is at least `low`."""
        self.rows.append(LinearRow(factors=linear.factors, low=low - linear.constant, high=inf))

    def least(self, cost: Linear, *, most_nodes: int = MOST_NODES, longest_s: float = LONGEST_S) -> Solution:
        """Values that make a cost least.

        Args:
            most_nodes: Nodes of the search after which the best found will do, 1 or more.
            longest_s: Seconds after which the best found will do, above 0.

        Raises:
            ProgrammeError: "not-loaded", "not-solved".
        """
        solver = _solver_module().Highs()
        _set_up(solver, self, cost, most_nodes, longest_s)
        return _solved(solver, self, cost)


def _set_up(
    solver: "highspy.Highs", programme: Programme, cost: Linear, most_nodes: int, longest_s: float
) -> None:
    import highspy

    for name, value in (*_OPTIONS, ("mip_max_nodes", most_nodes), ("time_limit", longest_s)):
        solver.setOptionValue(name, value)
    kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(programme.unknowns), len(programme.rows)
    lp.col_cost_ = [cost.factors.get(place, 0.0) for place in range(len(programme.unknowns))]
    lp.offset_ = cost.constant
    lp.col_lower_ = [unknown.low for unknown in programme.unknowns]
    lp.col_upper_ = [unknown.high for unknown in programme.unknowns]
    lp.integrality_ = [kinds[unknown.whole] for unknown in programme.unknowns]
    lp.row_lower_ = [row.low for row in programme.rows]
    lp.row_upper_ = [row.high for row in programme.rows]
    starts, places = [0], list[int]()
    factors = list[float]()
    for row in programme.rows:
        places.extend(row.factors)
        factors.extend(row.factors.values())
        starts.append(len(places))
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_, lp.a_matrix_.index_, lp.a_matrix_.value_ = starts, places, factors
    if solver.passModel(lp) == highspy.HighsStatus.kError:
        raise ProgrammeError("not-loaded", "passModel")


def _solved(solver: "highspy.Highs", programme: Programme, cost: Linear) -> Solution:
    import highspy

    status = highspy.HighsModelStatus
    failed = solver.run() == highspy.HighsStatus.kError
    ended = solver.getModelStatus()
    if ended in (status.kInfeasible, status.kUnboundedOrInfeasible):
        return Solution(outcome="infeasible", cost=inf, values=())
    if ended == status.kUnbounded:
        return Solution(outcome="unbounded", cost=-inf, values=())
    stopped = ended in (status.kTimeLimit, status.kSolutionLimit, status.kIterationLimit)
    if failed or not (stopped or ended == status.kOptimal):
        raise ProgrammeError("not-solved", solver.modelStatusToString(ended))
    if stopped and solver.getInfo().primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return Solution(outcome="stopped", cost=inf, values=())
    found = solver.getSolution().col_value
    values = tuple(
        float(round(value)) if unknown.whole else float(value)
        for value, unknown in zip(found, programme.unknowns, strict=True)
    )
    total = cost.constant + sum(factor * values[place] for place, factor in cost.factors.items())
    return Solution(outcome="stopped" if stopped else "optimal", cost=total, values=values)


@cache
def _solver_module() -> ModuleType:
    """The solver, loaded; its first making prints a line of its own to file descriptor 1, maybe somebody's data."""
    import highspy

    if sys.stdout is not None:
        sys.stdout.flush()
    try:
        kept = os.dup(1)
    except OSError:
        return highspy
    away = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(away, 1)
        highspy.Highs()  # type: ignore[no-untyped-call]
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(away)
    return highspy
