"""The ledger of plans: drawn jobs, jobs at the edges of what can be, and the parts that no job reaches."""

from functools import cache
from typing import Any

from tests.figures.compared import plain
from tests.figures.plan_days import DAY_PARTS
from tests.figures.plan_edges import EDGES
from tests.figures.plan_figures import plan_figures
from tests.figures.plan_jobs import JOB_COUNT, job
from tests.figures.plan_limits import LIMIT_PARTS
from tests.figures.plan_shapes import SHAPE_PARTS

FILE = "plans.jsonl"
# Choice: so many of the drawn jobs are kept as data for other programs and as drawings too.
AS_DATA_EVERY, DRAWN_EVERY = 20, 4

PARTS = {**LIMIT_PARTS, **DAY_PARTS, **SHAPE_PARTS}
# The job that the others at the edges differ from: of these only what differs is kept.
PLAIN = "plain"


def cases() -> tuple[str, ...]:
    """The names of the cases, in the order of the file."""
    return (*(f"job {number}" for number in range(JOB_COUNT)), *EDGES, *PARTS)


def figures(name: str) -> Any:
    """What a case comes to today."""
    return plain(_worked_out(name))


def _worked_out(name: str) -> Any:
    if name in EDGES:
        found = plan_figures(EDGES[name](), as_data=name.startswith("data "))
        return (
            found
            if name == PLAIN
            else {key: each for key, each in found.items() if each != _plain().get(key)}
        )
    if name in PARTS:
        return PARTS[name]()
    number = int(name.removeprefix("job "))
    return plan_figures(job(number), as_data=number % AS_DATA_EVERY == 0, drawn=number % DRAWN_EVERY == 1)


@cache
def _plain() -> Any:
    return plan_figures(EDGES[PLAIN]())
