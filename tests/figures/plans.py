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
# Choice: of so many of the drawn jobs one is kept with its drawings.
DRAWN_EVERY = 4

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
        return found if name == PLAIN or "refused" in found else _beside_plain(found)
    if name in PARTS:
        return PARTS[name]()
    number = int(name.removeprefix("job "))
    return plan_figures(job(number), drawn=number % DRAWN_EVERY == 1)


def _beside_plain(found: dict[str, Any]) -> dict[str, Any]:
    """What is not as in the plain plan, and what of that is not there."""
    told = {key: each for key, each in found.items() if each != _plain().get(key)}
    return {**told, "without": [key for key in _plain() if key not in found]}


@cache
def _plain() -> Any:
    return plan_figures(EDGES[PLAIN]())
